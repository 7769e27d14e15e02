//! Two programmes of the same music in turns.

use super::Stereo;
use crate::response::SAMPLE_RATE_HZ;
use std::f64::consts::FRAC_PI_2;

/// How two programmes take turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AbSwitch {
    /// Each turn lasts this long, seconds.
    pub turn_s: f64,
    /// Number of turns; the first programme begins.
    pub turns: usize,
}

/// A turn is long enough to hear a phrase, seconds …
const TURN_S: f64 = 4.0;
/// … and there are this many where the music lasts; else two, half of it each.
const TURNS: usize = 4;
/// Shorter turns say nothing, seconds.
const LEAST_S: f64 = 1.0;
/// One goes over into the other in this time, seconds.
const CROSSFADE_S: f64 = 0.05;

/// Both programmes in turns while the music, `music_s` seconds of it, goes on, with crossfades about
/// the changes and a fade at the end. The gains of a crossfade add up to one: what both have in common keeps its level, and
/// no peak grows.
pub fn ab_switch(first: &Stereo, second: &Stereo, music_s: f64) -> (Stereo, AbSwitch) {
    let length = first[0].len().min(second[0].len());
    let length_s = music_s.min(length as f64 / SAMPLE_RATE_HZ);
    let turns = if length_s < TURNS as f64 * LEAST_S { 2 } else { TURNS };
    let turn_s = (length_s / turns as f64).min(TURN_S);
    let end_s = turn_s * turns as f64;
    let samples = crate::response::samples(end_s).min(length);
    let mixed = [0, 1].map(|channel: usize| {
        let sources = first[channel].iter().zip(&second[channel]).take(samples);
        let mix = |(index, (first, second)): (usize, (&f64, &f64))| {
            let time_s = index as f64 / SAMPLE_RATE_HZ;
            let share = of_second(time_s, turn_s, turns);
            rising((end_s - time_s) / CROSSFADE_S) * (first * (1.0 - share) + second * share)
        };
        sources.enumerate().map(mix).collect()
    });
    (mixed, AbSwitch { turn_s, turns })
}

/// The second programme's share at a time.
fn of_second(time_s: f64, turn_s: f64, turns: usize) -> f64 {
    (1..turns)
        .map(|change| {
            let into = rising((time_s - change as f64 * turn_s) / CROSSFADE_S + 0.5);
            if change % 2 == 1 { into } else { -into }
        })
        .sum()
}

/// From 0 to 1 along a raised cosine while `share` does.
fn rising(share: f64) -> f64 {
    (FRAC_PI_2 * share.clamp(0.0, 1.0)).sin().powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steady(value: f64, seconds: usize) -> Stereo {
        [vec![value; seconds * 48_000], vec![-value; seconds * 48_000]]
    }

    #[test]
    fn turns_are_whole_and_changes_short() {
        let (mixed, turns) = ab_switch(&steady(1.0, 60), &steady(0.5, 61), 60.0);
        assert_eq!((turns.turns, mixed[0].len()), (4, 16 * 48_000));
        for (second, value) in [(2, 1.0), (6, 0.5), (10, 1.0), (14, 0.5)] {
            for channel in [0, 1] {
                let sign = if channel == 0 { 1.0 } else { -1.0 };
                assert!((mixed[channel][second * 48_000] - sign * value).abs() < 1e-12);
            }
        }
        assert!((mixed[0][4 * 48_000] - 0.75).abs() < 1e-9, "half way in the middle");
        let steepest = mixed[0].windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f64::max);
        assert!(steepest < 1e-3, "no click: {steepest}");
        let (short, turns) = ab_switch(&steady(1.0, 2), &steady(0.5, 3), 2.0);
        assert_eq!((turns.turns, short[0].len()), (2, 2 * 48_000));
    }
}
