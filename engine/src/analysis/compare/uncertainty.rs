//! Known error of the model, and the level difference below which two results count as equal.

use std::ops::Range;

/// Changes smaller than this are called equal, decibels, in every band and over 1–8 kHz: the
/// largest mean error of [`KNOWN_ERRORS`], rounded up to half a decibel.
///
/// It is a mean: single cases can be off by more. Outside [`MEASURED_BANDS`] the same figure is
/// taken for want of a better one. It says nothing of a material's own figures, which are often
/// known less well.
pub const EQUAL_DB: f64 = 1.5;

/// Bands in which [`KNOWN_ERRORS`] were found: 125 Hz to 2 kHz, as indices.
pub const MEASURED_BANDS: Range<usize> = 1..6;

/// Error of reflections off finite panels against boundary-element solutions of the wave
/// equation. Mean of the absolute level error, smallest and largest over the panels tried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownError {
    /// Pressure reflection factor of the panels at normal incidence.
    pub reflection: f64,
    /// At normal incidence, decibels.
    pub normal_db: [f64; 2],
    /// At 45°, decibels.
    pub at_45_deg_db: [f64; 2],
}

/// Measured for this project over 125 Hz to 2 kHz: physical optics against a boundary-element
/// solution.
pub const KNOWN_ERRORS: [KnownError; 3] = [
    KnownError { reflection: 0.0, normal_db: [0.5, 0.6], at_45_deg_db: [0.6, 1.4] },
    KnownError { reflection: 0.3, normal_db: [0.1, 0.2], at_45_deg_db: [0.3, 0.6] },
    KnownError { reflection: 0.7, normal_db: [0.0, 0.11], at_45_deg_db: [0.0, 0.11] },
];

#[cfg(test)]
mod tests {
    use super::*;

    /// The rule states itself as the largest mean error, rounded up to half a decibel.
    #[test]
    fn the_rule_follows_from_the_table() {
        let all = KNOWN_ERRORS.iter().flat_map(|e| [e.normal_db[1], e.at_45_deg_db[1]]);
        let largest = all.fold(0.0, f64::max);
        assert!(((largest * 2.0).ceil() / 2.0 - EQUAL_DB).abs() < 1e-12);
    }
}
