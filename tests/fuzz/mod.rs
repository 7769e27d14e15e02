//! Fuzzing on stable: a corpus, mutations of it from a seeded generator, and a loop over them. Wired
//! into the tests of the engine and of the command line, whose targets say what must hold.
//!
//! A failing case prints how to run it again; nothing is written. `EARLINE_FUZZ_CASES` is the number of
//! cases of every target, `EARLINE_FUZZ_SEED` the seed of the first.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on has failed")]
#![allow(clippy::disallowed_methods, reason = "tests read files and the environment")]

mod corpus;
mod mutation;
mod random;

pub(crate) use corpus::Corpus;

use mutation::mutated;
use random::Random;

/// Runs a check on every input of a corpus as it is, then on mutations of them: so many cases unless the
/// environment has another number.
pub(crate) fn fuzz(target: &str, cases: u64, corpus: &Corpus, check: impl Fn(&[u8])) {
    for (name, input) in corpus.inputs() {
        let _told = ToldOnPanic(|| format!("the input `{name}` of the corpus of {target}"), input);
        check(input);
    }
    let (cases, first) =
        (asked("EARLINE_FUZZ_CASES").unwrap_or(cases), asked("EARLINE_FUZZ_SEED").unwrap_or(1));
    for seed in (0..cases).map(|case| first.wrapping_add(case)) {
        let input = mutated(corpus, &mut Random::new(seed));
        let again = || {
            format!(
                "a case of {target}; again with: EARLINE_FUZZ_SEED={seed} EARLINE_FUZZ_CASES=1 \
                 cargo test --workspace {target}"
            )
        };
        let _told = ToldOnPanic(again, &input);
        check(&input);
    }
}

/// An input as text; bytes that are none are replaced.
pub(crate) fn text(input: &[u8]) -> String {
    String::from_utf8_lossy(input).into_owned()
}

fn asked(variable: &str) -> Option<u64> {
    let value = std::env::var(variable).ok()?;
    Some(value.parse().unwrap_or_else(|_| panic!("{variable} is `{value}`, not a whole number")))
}

/// Says which input it was when a check panics.
struct ToldOnPanic<'i, F: Fn() -> String>(F, &'i [u8]);

impl<F: Fn() -> String> Drop for ToldOnPanic<'_, F> {
    #[allow(clippy::print_stderr, reason = "shown by the test harness when the test fails")]
    fn drop(&mut self) {
        if std::thread::panicking() {
            eprintln!("failed: {}\n{}", (self.0)(), self.1.escape_ascii());
        }
    }
}
