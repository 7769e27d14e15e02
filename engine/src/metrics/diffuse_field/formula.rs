//! Reverberation formulas of the diffuse field, one band at a time.

use super::absorbing_area::{BandAbsorption, absorption_exponent};
use super::enclosed_air::EnclosedAir;

/// Formula for the reverberation time. K = 24·ln 10/c; m is the energy attenuation of the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Formula {
    /// `K·V/(Σ Sᵢ·αᵢ + 4mV)` (Sabine 1900; form read second-hand).
    Sabine,
    /// `K·V/(−S·ln(1 − ᾱ) + 4mV)` (Norris; Eyring 1930; form read second-hand).
    Eyring,
    /// `K·V/(−Σ Sᵢ·ln(1 − αᵢ) + 4mV)` (Millington 1932, Sette 1933; from memory). A single surface
    /// that absorbs everything brings it to zero.
    Millington,
    /// `Σ Sₐ/S·K·V/(−S·ln(1 − ᾱₐ) + 4mV)` over the three axes a, each with the surfaces that face
    /// along it (Fitzroy 1959, from memory; the place of air in it is the usual one).
    Fitzroy,
    /// `Π (K·V/(−S·ln(1 − ᾱₐ) + 4mV))^(Sₐ/S)` over the three axes a (Arau-Puchades 1988, from
    /// memory).
    ArauPuchades,
    /// `K·V/(S·a + 4mV)`, `a = −ln(1 − ᾱ)·(1 + γ²/2·ln(1 − ᾱ))`: free paths differ, with relative
    /// variance γ² (Kuttruff, Room Acoustics; from memory). The correction is the first of a
    /// series; from −ln(1 − ᾱ) = 1/γ² on (ᾱ = 0.92) it would turn back, and nothing is given.
    Kuttruff,
}

impl Formula {
    /// All formulas, in a fixed order.
    pub const ALL: [Self; 6] = [
        Self::Sabine,
        Self::Eyring,
        Self::Millington,
        Self::Fitzroy,
        Self::ArauPuchades,
        Self::Kuttruff,
    ];

    /// Reverberation time in seconds for K·V in m²·s; `None` in a room that does not absorb, and
    /// outside the range of validity.
    pub(super) fn time_s(self, absorption: &BandAbsorption, kv_m2_s: f64) -> Option<f64> {
        let area = absorption.area_m2;
        let time = |absorption_area_m2: f64| kv_m2_s / (absorption_area_m2 + absorption.air_m2);
        let over_axes = |fold: fn(f64, f64, f64) -> f64, start: f64| {
            let axes = absorption.axis_area_m2.iter().zip(absorption.axis_mean);
            axes.fold(start, |total, (&axis_m2, mean)| {
                if axis_m2 > 0.0 {
                    fold(total, time(area * absorption_exponent(mean)), axis_m2 / area)
                } else {
                    total
                }
            })
        };
        let time_s = match self {
            Self::Sabine => time(absorption.absorbed_m2),
            Self::Eyring => time(area * absorption_exponent(absorption.mean())),
            Self::Millington => time(absorption.millington_m2),
            Self::Fitzroy => over_axes(|sum, time, fraction| sum + fraction * time, 0.0),
            Self::ArauPuchades => {
                over_axes(|product, time, fraction| product * time.powf(fraction), 1.0)
            }
            Self::Kuttruff => time(area * kuttruff_exponent(absorption.mean())?),
        };
        (time_s.is_finite() && area > 0.0).then_some(time_s)
    }
}

/// Numerator K·V = 24·ln 10/c·V of all formulas, m²·s.
pub(super) fn kv_m2_s(air: &EnclosedAir) -> f64 {
    24.0 * std::f64::consts::LN_10 / air.speed_of_sound_m_s * air.volume_m3
}

/// Relative variance γ² of the free paths in [`Formula::Kuttruff`]: his round value for rooms
/// of usual proportions (from memory; a 6 × 4 × 2.5 m box with diffuse walls has 0.367, computed).
pub const PATH_VARIANCE: f64 = 0.4;

/// Kuttruff's absorption exponent; `None` beyond the range of his correction.
fn kuttruff_exponent(mean_absorption: f64) -> Option<f64> {
    let eyring = absorption_exponent(mean_absorption);
    (eyring < 1.0 / PATH_VARIANCE).then_some(eyring * (1.0 - 0.5 * PATH_VARIANCE * eyring))
}
