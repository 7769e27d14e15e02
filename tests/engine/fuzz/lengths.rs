//! Texts that may be lengths.

use super::mutated::{Corpus, fuzz, text};
use earline_engine::scene::{
    INCH_M, Units, format_length, format_limits, format_outside, length_units, parse_length,
};

/// Lengths of a thousand kilometres are shown in powers of ten, which no length is written in, metres.
const SHOWN_PLAIN_M: f64 = 999_999.0;

#[test]
fn fuzz_lengths() {
    let corpus = Corpus::default().lines("tests/fuzz/corpus/lengths.txt");
    fuzz("fuzz_lengths", 4000, &corpus, |input| {
        let text = text(input);
        match parse_length(&text) {
            Ok(length_m) => shown_and_read_again(length_m, &text),
            Err(error) => {
                for told in [error.message, error.help] {
                    assert!(!told.is_empty() && told.len() < 2000, "{told}");
                    assert!(!told.chars().any(char::is_control), "{told:?}");
                }
            }
        }
    });
}

fn shown_and_read_again(length_m: f64, text: &str) {
    assert!(length_m.is_finite() && length_units(text).is_some(), "{length_m}");
    if SHOWN_PLAIN_M < length_m.abs() {
        return;
    }
    for (units, step_m) in [(Units::Metric, 1e-3), (Units::Imperial, INCH_M / 8.0)] {
        let shown = format_length(length_m, units);
        let read = parse_length(&shown).unwrap();
        // Half a step of the tape, and what the sum of feet and inches rounds.
        assert!((read - length_m).abs() <= step_m * 0.500_001, "{shown}: {read} {length_m}");
        assert_eq!(format_length(read, units), shown);
        let limits = length_m.min(0.0)..=length_m.max(0.0);
        for end in format_limits(&limits, units) {
            parse_length(&end).unwrap();
        }
        let other_side = format_outside(length_m, &(length_m + 1.0..=length_m + 2.0), units);
        assert!(!other_side.is_empty());
    }
}
