//! The energy-time curve.

use crate::bands::PerBand;

/// Energy against time at a seat, 0 dB at the peak of the direct sound.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyTime {
    /// Time of the first value after emission, seconds.
    pub start_s: f64,
    /// Time between values, seconds.
    pub step_s: f64,
    /// Level over 1–8 kHz in decibels.
    pub level_db: Vec<f64>,
    /// Level in each octave band in decibels.
    pub band_level_db: PerBand<Vec<f64>>,
    /// The curve holds every specular arrival up to this time after emission, seconds.
    pub complete_s: f64,
}
