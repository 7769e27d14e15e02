//! Air of a room.

use crate::medium::bands::PerBand;

/// Air of a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnclosedAir {
    /// Volume in cubic metres, without what stands in it.
    pub volume_m3: f64,
    /// Speed of sound in metres a second.
    pub speed_of_sound_m_s: f64,
    /// Attenuation in decibels a metre.
    pub attenuation_db_per_m: PerBand<f64>,
}
