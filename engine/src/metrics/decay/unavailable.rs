//! Why a figure is not given.

use thiserror::Error;

/// Why a figure of a decay is not given.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[non_exhaustive]
pub enum Unavailable {
    /// The bins have no positive width, or an energy is not a finite number.
    #[error("the decay holds something that is not a number, or bins without width")]
    Unusable,
    /// Nothing arrives.
    #[error("no energy arrives")]
    NoEnergy,
    /// The bins stop before the sound has died away, and it does not decay where they stop.
    #[error("nothing decays")]
    NothingDecays,
    /// The decay is known only down to a level too near the figure's range: ISO 3382 asks for
    /// 10 dB between the lower end of the range and the floor (from memory).
    #[error("the decay is known only down to {:.1} dB", tenths(*reached_db))]
    TooShort {
        /// Level down to which the decay is known, decibels relative to its start.
        reached_db: f64,
    },
    /// The decay falls through the range in so few bins, or with such a gap, that no line can be
    /// laid through it.
    #[error("the decay leaves its range with a drop, or has too few points in it")]
    TooFewPoints {
        /// Points of the decay curve in the range.
        points: usize,
    },
    /// Nothing arrives but the direct sound, or nothing after the time the figure divides at.
    #[error("nothing arrives late enough")]
    NothingLate,
    /// Nothing arrives before the time the figure divides at.
    #[error("nothing arrives early enough")]
    NothingEarly,
    /// No direct sound reaches the listener.
    #[error("no direct sound arrives")]
    NoDirectSound,
    /// The figure is defined for a source that radiates alike in all directions.
    #[error("the source does not radiate alike in all directions")]
    Directional,
}

/// To a tenth, and never minus nought.
fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0 + 0.0
}
