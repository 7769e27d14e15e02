//! Mutated values of options: each is taken with finite numbers, or told what is wrong with it.

use super::lengths::measured;
use super::sweep::{Varied, varied};
use crate::fuzzing::{Corpus, fuzz, text};
use crate::study::{Shard, figures};
use earline_engine::explore::study::{Levels, MAX_LEVELS};

#[test]
fn fuzz_sweep_expressions() {
    let corpus = Corpus::default().lines("tests/fuzz/corpus/sweeps.txt");
    fuzz("fuzz_sweep_expressions", 2000, &corpus, |input| {
        let text = text(input);
        match varied(&text) {
            Ok(taken) => makes_sense(&taken),
            Err(told) => is_short(&told),
        }
        match text.parse::<Shard>() {
            Ok(shard) => assert!((1..=shard.of).contains(&shard.number)),
            Err(told) => is_short(&told),
        }
        match figures::columns(&[text]) {
            Ok(columns) => assert!((1..=8).contains(&columns.len())),
            Err(unknown) => is_short(&format!("{}; {}", unknown.message, unknown.help)),
        }
    });
}

#[test]
fn fuzz_length_options() {
    let corpus = Corpus::default().lines("tests/fuzz/corpus/lengths.txt");
    fuzz("fuzz_length_options", 2000, &corpus, |input| match measured(&text(input)) {
        Ok(length) => assert!(length.metres.is_finite()),
        Err(told) => is_short(&told),
    });
}

/// Finite numbers in a number that ends; printed and read again they are the same.
fn makes_sense(taken: &Varied) {
    let unit = if taken.is_length { " m" } else { "" };
    let again = |values: String| varied(&format!("{}={values}", taken.numbers));
    let printed = match &taken.levels {
        Levels::Each(levels) => {
            assert!((1..=MAX_LEVELS).contains(&levels.len()), "{}", levels.len());
            assert!(levels.iter().all(|level| level.is_finite()), "{levels:?}");
            levels.iter().map(|level| format!("{level}{unit}")).collect::<Vec<_>>().join(",")
        }
        Levels::Between(from, to) => {
            assert!(from <= to && (to - from).is_finite(), "{from} {to}");
            format!("{from}{unit}..{to}{unit}")
        }
    };
    let read = again(printed.clone()).map(|read| read.levels);
    assert_eq!(read.as_ref(), Ok(&taken.levels), "{printed}");
    assert_eq!(again(taken.written.clone()).as_ref(), Ok(taken));
}

fn is_short(told: &str) {
    assert!(!told.is_empty() && told.len() < 6000, "{} bytes: {told}", told.len());
}
