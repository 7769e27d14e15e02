//! Changes of reported figures, and their thresholds.

use crate::image_source::Bounce;
use crate::scene::{ListenerId, SpeakerId};

/// Thresholds of change of the reported figures. None of them is a law; they are where published
/// or usual limits of hearing lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// Delay between left and right of a pair, seconds.
    pub left_right_s: f64,
    /// Angle between the speakers of a pair, degrees.
    pub base_angle_deg: f64,
    /// Level of the direct sound over 1–8 kHz, decibels.
    pub direct_db: f64,
    /// Level over 1–8 kHz of a first reflection against the direct sound, decibels.
    pub reflection_db: f64,
    /// Delay of a first reflection after the direct sound, seconds.
    pub reflection_s: f64,
    /// Reflections weaker than this are passed over, decibels.
    pub weakest_db: f64,
}

impl Default for Thresholds {
    /// 50 µs between left and right is half of what ITU-R BS.1116 allows between channels (from
    /// memory, not sure); half a decibel is near the least difference in level that is heard in
    /// careful comparison (common practice); a reflection may change by 1 dB and 0.25 ms, and counts
    /// from −20 dB up, below which single ones are seldom heard (Brunner and others 2006, read
    /// second-hand); one degree of angle is common practice.
    fn default() -> Self {
        Self {
            left_right_s: 50e-6,
            base_angle_deg: 1.0,
            direct_db: 0.5,
            reflection_db: 1.0,
            reflection_s: 0.25e-3,
            weakest_db: -20.0,
        }
    }
}

/// The first figure that changes by more than its threshold.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Left and right of a pair come apart in time at a listener.
    LeftRight {
        /// The pair's left speaker.
        left: SpeakerId,
        /// The listener.
        listener: ListenerId,
        /// Change of the delay of left relative to right, seconds.
        by_s: f64,
    },
    /// The angle between the speakers of a pair.
    BaseAngle {
        /// The pair's left speaker.
        left: SpeakerId,
        /// The listener.
        listener: ListenerId,
        /// Change of the angle, degrees.
        by_deg: f64,
    },
    /// The direct sound.
    Direct {
        /// The speaker.
        speaker: SpeakerId,
        /// The listener.
        listener: ListenerId,
        /// Change of level, decibels.
        by_db: f64,
    },
    /// The level of a first reflection.
    ReflectionLevel {
        /// The speaker.
        speaker: SpeakerId,
        /// The listener.
        listener: ListenerId,
        /// Its reflection point.
        bounce: Bounce,
        /// Change of level relative to the direct sound, decibels.
        by_db: f64,
    },
    /// The delay of a first reflection.
    ReflectionDelay {
        /// The speaker.
        speaker: SpeakerId,
        /// The listener.
        listener: ListenerId,
        /// Its reflection point.
        bounce: Bounce,
        /// Change of the delay after the direct sound, seconds.
        by_s: f64,
    },
    /// The position is infeasible.
    NoRoom {
        /// The reason, as the scene's rules word it.
        why: String,
    },
}
