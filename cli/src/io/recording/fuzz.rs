//! Mutated recordings: each is read or told what is wrong with it.

use super::{at_played_rate, check, layout::layout, samples::samples};
use crate::fuzzing::{Corpus, fuzz};
use std::io::Cursor;

/// Frames that are read of each.
const FRAMES: usize = 4096;

#[test]
fn fuzz_recordings() {
    let corpus = Corpus::default().files("tests/fuzz/corpus/wav", "wav");
    fuzz("fuzz_recordings", 1500, &corpus, |bytes| {
        let mut file = Cursor::new(bytes);
        let read = layout(&mut file, bytes.len() as u64).and_then(|layout| {
            check(&layout)?;
            assert!(layout.frames <= bytes.len() as u64, "more frames than bytes");
            Ok((layout.format.rate_hz, samples(&mut file, &layout, FRAMES)?))
        });
        match read {
            Err(fault) => {
                assert!(!fault.what.is_empty() && fault.what.len() < 300, "{}", fault.what);
                assert!(!fault.what.chars().any(char::is_control), "{:?}", fault.what);
                assert!(!fault.remedy.is_empty());
            }
            Ok((rate_hz, channels)) => {
                let is_sound = |samples: &Vec<f64>| samples.iter().all(|s| s.is_finite());
                assert!(channels.iter().all(is_sound), "{channels:?}");
                // A rate of its own needs long transforms: those near to usual ones are brought up.
                if rate_hz.is_multiple_of(1000) && rate_hz < 100_000 {
                    let played = at_played_rate(channels, rate_hz);
                    assert!(played.is_ok_and(|all| all.iter().all(is_sound)));
                }
            }
        }
    });
}
