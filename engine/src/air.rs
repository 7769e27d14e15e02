//! Air: speed of sound and how sound tires on its way (ISO 9613-1).

use crate::bands::PerBand;

/// The state of the air in the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature in degrees Celsius.
    pub temperature_c: f64,
    /// Relative humidity in per cent.
    pub humidity_percent: f64,
    /// Static pressure in kilopascals.
    pub pressure_kpa: f64,
    /// Whether sound is attenuated by the air on its way.
    pub absorption: bool,
}

impl Default for Air {
    /// 20 °C, 50 %, 101.325 kPa, with attenuation.
    fn default() -> Self {
        Self {
            temperature_c: 20.0,
            humidity_percent: 50.0,
            pressure_kpa: 101.325,
            absorption: true,
        }
    }
}

impl Air {
    /// Speed of sound in metres a second, 343.2·√(T/293.15 K) (ISO 9613-1).
    pub fn speed_of_sound_m_s(&self) -> f64 {
        343.2 * ((self.temperature_c + 273.15) / 293.15).sqrt()
    }

    /// Attenuation in decibels a metre at the exact octave mid-bands (ISO 9613-1);
    /// zero when [`Air::absorption`] is off.
    pub fn attenuation_db_per_m(&self) -> PerBand<f64> {
        [0.0; 8] // SKELETON: filled by the materials-and-air work
    }
}
