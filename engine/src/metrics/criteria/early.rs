//! Published limits on early reflections, by the document that states them.

use crate::medium::bands::EARLY_BANDS;
use crate::trace::Reflection;
use std::ops::Range;

/// A published limit: within a time after the direct sound, reflections stay below a level.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EarlyLimit {
    /// Short name for command lines and machine output.
    pub key: &'static str,
    /// The document that states it.
    pub document: &'static str,
    /// How our copy of the figures was come by.
    pub provenance: &'static str,
    /// Highest allowed level relative to the direct sound, whole decibels.
    decibels: i8,
    /// How long after the direct sound it holds, whole milliseconds.
    milliseconds: u8,
}

/// What a limit says of one reflection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Inside the time the limit speaks of, and louder than it allows.
    Over,
    /// Inside that time, and no louder than allowed.
    Within,
    /// After the time the limit speaks of.
    Later,
}

/// All limits known here; the first is the default.
pub static EARLY_LIMITS: [EarlyLimit; 3] = [
    EarlyLimit {
        key: "ebu-3276",
        document: "EBU Tech 3276",
        provenance: "read second-hand, from a third party quoting section 2.2 of the 1998 edition",
        decibels: -10,
        milliseconds: 15,
    },
    EarlyLimit {
        key: "itu-bs1116",
        document: "ITU-R BS.1116-3",
        provenance: "from memory; section 8.3.3.1 is named by others",
        decibels: -10,
        milliseconds: 15,
    },
    EarlyLimit {
        key: "bbc-controlled-image",
        document: "BBC controlled-image design target (Walker, 1993 to 1995)",
        provenance: "from memory; report summaries were read, the figure itself was not seen",
        decibels: -20,
        milliseconds: 20,
    },
];

/// Room for the rounding of a level that is meant to sit exactly on the limit, decibels.
const LEVEL_ROUNDING_DB: f64 = 1e-6;

/// Room for the rounding of a delay that is meant to sit exactly on the limit, seconds.
const DELAY_ROUNDING_S: f64 = 1e-9;

/// Whether a delay after the direct sound lies within a time, both in seconds. A delay that is
/// meant to sit exactly at its end is within it.
pub fn is_within(delay_s: f64, window_s: f64) -> bool {
    delay_s <= window_s + DELAY_ROUNDING_S
}

impl EarlyLimit {
    /// Highest allowed level over 1–8 kHz relative to the direct sound, decibels.
    pub fn level_db(&self) -> f64 {
        f64::from(self.decibels)
    }

    /// How long after the direct sound the limit holds, seconds.
    pub fn window_s(&self) -> f64 {
        f64::from(self.milliseconds) / 1000.0
    }

    /// The octave bands it speaks of, as indices: 1 kHz to 8 kHz.
    pub fn bands(&self) -> Range<usize> {
        EARLY_BANDS
    }

    /// What the limit says of a reflection this long after the direct sound and this loud over
    /// the limit's bands. Exactly on the limit is within it.
    pub fn judge(&self, delay_s: f64, level_db: f64) -> Verdict {
        if !is_within(delay_s, self.window_s()) {
            Verdict::Later
        } else if level_db > self.level_db() + LEVEL_ROUNDING_DB {
            Verdict::Over
        } else {
            Verdict::Within
        }
    }

    /// Whether a reflection passes: late enough, or quiet enough.
    pub fn passes(&self, reflection: &Reflection) -> bool {
        self.judge(reflection.delay_s, reflection.level_db) != Verdict::Over
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EBU Tech 3276 (1998) §2.2, read second-hand; ITU-R BS.1116-3 §8.3.3.1, from memory: at
    /// least 10 dB down in the first 15 ms, so exactly 10 dB passes.
    #[test]
    fn ten_decibels_within_fifteen_milliseconds() {
        for limit in EARLY_LIMITS.iter().take(2) {
            assert_eq!(limit.judge(0.0, -9.99), Verdict::Over);
            assert_eq!(limit.judge(0.010, -10.0), Verdict::Within);
            assert_eq!(limit.judge(0.015, -9.9), Verdict::Over);
            assert_eq!(limit.judge(0.0151, 0.0), Verdict::Later);
        }
    }

    /// BBC controlled-image target, from memory: 20 dB down in the first 20 ms.
    #[test]
    fn twenty_decibels_within_twenty_milliseconds() {
        let limit = &EARLY_LIMITS[2];
        assert_eq!(limit.judge(0.018, -19.0), Verdict::Over);
        assert_eq!(limit.judge(0.018, -20.0), Verdict::Within);
        assert_eq!(limit.judge(0.0201, -1.0), Verdict::Later);
    }

    /// A level that arithmetic left a rounding error above the limit still sits on it:
    /// 10·lg 0.1 computed by way of an amplitude.
    #[test]
    fn rounding_does_not_decide() {
        let amplitude = 0.1f64.sqrt();
        let level = 20.0 * amplitude.log10() + 1e-12;
        assert_eq!(EARLY_LIMITS[0].judge(5e-3, level), Verdict::Within);
    }
}
