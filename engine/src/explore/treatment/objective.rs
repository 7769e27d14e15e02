//! What a treatment is for, as one number to be made small.

use crate::metrics::criteria::{EarlyLimit, is_within};
use crate::trace::Reflection;

/// How well a room does. Smaller is better, first by [`Score::over_db`], then by
/// [`Score::early_db`].
///
/// A further term, such as the unevenness of the bass, is another field in decibels that
/// [`Score::total_db`] adds with its weight; the search asks for nothing else.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Score {
    /// Decibels over the limit, softly counted ([`soft_excess_db`]) and summed over the reflections
    /// within the limit's time; mean over all speakers at all listeners.
    pub over_db: f64,
    /// Energy of all reflections within the limit's time over 1–8 kHz relative to the direct sound,
    /// mean over all speakers at all listeners, decibels.
    pub early_db: f64,
}

/// How sharply [`soft_excess_db`] bends at the limit.
pub const SOFTNESS: f64 = 2.0;

/// Steps in which scores are compared, decibels: what a symmetrical room makes equal is not decided
/// by rounding.
const STEP_DB: f64 = 0.005;

/// Decibels over a limit, without the corner at the limit: 10/p · lg(1 + 10^(p·x/10)) of an excess
/// of x decibels, with p = [`SOFTNESS`]. Far over the limit it is x, at the limit 1.5 dB, ten
/// decibels under it 0.02 dB. Our own choice: the published limits know only over and within.
pub fn soft_excess_db(excess_db: f64) -> f64 {
    let power = 10f64.powf(SOFTNESS * excess_db / 10.0);
    if power.is_finite() {
        10.0 / SOFTNESS * power.ln_1p() / std::f64::consts::LN_10
    } else {
        excess_db
    }
}

impl Score {
    /// The score of several speakers' reflections at several listeners, one list for each pair.
    pub fn of<'a>(lists: impl IntoIterator<Item = &'a [Reflection]>, limit: &EarlyLimit) -> Self {
        let (mut over_db, mut energy, mut pairs) = (0.0, 0.0, 0.0);
        for list in lists {
            pairs += 1.0;
            let early = list.iter().filter(|r| is_within(r.delay_s, limit.window_s()));
            for reflection in early {
                over_db += soft_excess_db(reflection.level_db - limit.level_db());
                energy += 10f64.powf(reflection.level_db / 10.0);
            }
        }
        let pairs = f64::max(pairs, 1.0);
        Self { over_db: over_db / pairs, early_db: crate::medium::bands::energy_db(energy / pairs) }
    }

    /// What is made small, decibels.
    pub fn total_db(&self) -> f64 {
        self.over_db
    }

    /// How much better this is than another, decibels; negative where it is worse.
    pub fn gain_on(&self, other: &Self) -> f64 {
        other.total_db() - self.total_db()
    }

    /// A key that sorts better scores first, in steps no rounding error reaches.
    pub(super) fn key(&self) -> [i64; 2] {
        [steps(self.total_db()), steps(self.early_db)]
    }
}

/// A number of decibels in steps of [`STEP_DB`].
#[expect(clippy::cast_possible_truncation, reason = "clamped first")]
pub(super) fn steps(decibels: f64) -> i64 {
    (decibels / STEP_DB).clamp(-1e12, 1e12).round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The values that the doc comment names, computed from its formula.
    #[test]
    fn the_excess_is_soft_at_the_limit_and_plain_far_over_it() {
        assert!((soft_excess_db(0.0) - 5.0 * 2f64.log10()).abs() < 1e-12);
        assert!((soft_excess_db(30.0) - 30.0).abs() < 1e-5);
        assert!((soft_excess_db(-10.0) - 0.0216).abs() < 1e-4);
        assert!((soft_excess_db(5000.0) - 5000.0).abs() < 1e-9);
        assert!(soft_excess_db(f64::NEG_INFINITY).abs() < 1e-12);
        for step in -300..300 {
            let x = f64::from(step) / 10.0;
            assert!(soft_excess_db(x) < soft_excess_db(x + 0.1));
        }
    }
}
