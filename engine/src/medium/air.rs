//! Air: speed of sound and attenuation (ISO 9613-1).
//!
//! Equations and coefficients of ISO 9613-1:1993 as reproduced on two independent public pages
//! (read second-hand; the standard itself was not opened).

use crate::medium::bands::{PerBand, exact_hz};

/// The state of the air in the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature in degrees Celsius.
    pub temperature_c: f64,
    /// Relative humidity in per cent.
    pub humidity_percent: f64,
    /// Static pressure in kilopascals.
    pub pressure_kpa: f64,
    /// Whether the air attenuates sound.
    pub absorption: bool,
}

/// Vibrational relaxation of oxygen and nitrogen, which governs the frequency at which each
/// absorbs sound (ISO 9613-1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relaxation {
    /// Molar concentration of water vapour, per cent.
    pub water_percent: f64,
    /// Relaxation frequency of oxygen in hertz.
    pub oxygen_hz: f64,
    /// Relaxation frequency of nitrogen in hertz.
    pub nitrogen_hz: f64,
}

/// 0 °C in kelvin.
const ICE_POINT_K: f64 = 273.15;
/// Reference temperature T₀ of ISO 9613-1, 20 °C.
const REFERENCE_K: f64 = 293.15;
/// Triple-point temperature T₀₁ of ISO 9613-1.
const TRIPLE_POINT_K: f64 = 273.16;
/// Reference pressure of ISO 9613-1.
const REFERENCE_KPA: f64 = 101.325;
/// Specific gas constant of dry air in J/(kg·K).
const DRY_AIR_J_KG_K: f64 = 287.058;

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
    /// Speed of sound in metres a second, 343.2·√(T/293.15 K) (ISO 9613-1). Humidity, worth a
    /// third of a per cent at most, is left out as the standard leaves it out.
    pub fn speed_of_sound_m_s(&self) -> f64 {
        343.2 * (self.temperature_k() / REFERENCE_K).sqrt()
    }

    /// Density in kilograms a cubic metre, of dry air as an ideal gas.
    pub fn density_kg_m3(&self) -> f64 {
        self.pressure_kpa * 1000.0 / (DRY_AIR_J_KG_K * self.temperature_k())
    }

    /// Characteristic impedance ρc in Pa·s/m.
    pub fn characteristic_impedance_pa_s_m(&self) -> f64 {
        self.density_kg_m3() * self.speed_of_sound_m_s()
    }

    /// Attenuation in decibels a metre at the exact octave mid-bands (ISO 9613-1);
    /// zero when [`Air::absorption`] is off.
    pub fn attenuation_db_per_m(&self) -> PerBand<f64> {
        std::array::from_fn(|band| self.attenuation_db_per_m_at(exact_hz(band)))
    }

    /// Attenuation of a pure tone in decibels a metre (ISO 9613-1, whose tables run from 50 Hz to
    /// 10 kHz, −20 °C to 50 °C and 10 % to 100 %); zero when [`Air::absorption`] is off.
    pub fn attenuation_db_per_m_at(&self, hz: f64) -> f64 {
        if !self.absorption {
            return 0.0;
        }
        let kelvin = self.temperature_k();
        let warmth = kelvin / REFERENCE_K;
        let pressure = self.pressure_kpa / REFERENCE_KPA;
        let relaxation = self.relaxation();
        let square = hz * hz;
        let classical = 1.84e-11 / pressure * warmth.sqrt();
        let oxygen = 0.01275 * (-2239.1 / kelvin).exp()
            / (relaxation.oxygen_hz + square / relaxation.oxygen_hz);
        let nitrogen = 0.1068 * (-3352.0 / kelvin).exp()
            / (relaxation.nitrogen_hz + square / relaxation.nitrogen_hz);
        8.686 * square * (classical + warmth.powf(-2.5) * (oxygen + nitrogen))
    }

    /// Fraction of the energy left in each band after a distance in metres,
    /// 10^(−a·d/10); spreading is not in it.
    pub fn energy_after(&self, distance_m: f64) -> PerBand<f64> {
        self.attenuation_db_per_m().map(|a| 10f64.powf(-0.1 * a * distance_m))
    }

    /// Water vapour and relaxation frequencies (ISO 9613-1).
    pub fn relaxation(&self) -> Relaxation {
        let kelvin = self.temperature_k();
        let warmth = kelvin / REFERENCE_K;
        let pressure = self.pressure_kpa / REFERENCE_KPA;
        let exponent = -6.8346 * (TRIPLE_POINT_K / kelvin).powf(1.261) + 4.6151;
        let water_percent = self.humidity_percent * 10f64.powf(exponent) / pressure;
        let oxygen_hz = pressure
            * (24.0 + 4.04e4 * water_percent * (0.02 + water_percent) / (0.391 + water_percent));
        let nitrogen_hz = pressure
            * warmth.powf(-0.5)
            * (9.0 + 280.0 * water_percent * (-4.170 * (warmth.cbrt().recip() - 1.0)).exp());
        Relaxation { water_percent, oxygen_hz, nitrogen_hz }
    }

    fn temperature_k(&self) -> f64 {
        self.temperature_c + ICE_POINT_K
    }
}
