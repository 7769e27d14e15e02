//! Reverberation formulas of statistical acoustics, one band at a time.

use super::absorbing_area::{BandAbsorption, exponent};

/// A formula for the reverberation time. K = 24·ln 10/c; m is the energy attenuation of the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Formula {
    /// `K·V/(Σ Sᵢ·αᵢ + 4mV)` (Sabine 1900; form read second-hand).
    Sabine,
    /// `K·V/(−S·ln(1 − ᾱ) + 4mV)` (Norris; Eyring 1930; form read second-hand).
    Eyring,
    /// `K·V/(−Σ Sᵢ·ln(1 − αᵢ) + 4mV)` (Millington 1932, Sette 1933; from memory). A single surface
    /// that absorbs everything brings it to nought.
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
    /// All, in their fixed order.
    pub const ALL: [Self; 6] = [
        Self::Sabine,
        Self::Eyring,
        Self::Millington,
        Self::Fitzroy,
        Self::ArauPuchades,
        Self::Kuttruff,
    ];

    /// Reverberation time of a lined room in seconds; `None` where nothing absorbs, or a formula
    /// says nothing. `scale` is K·V and `air_m2` is 4mV.
    pub(super) fn time_s(self, lined: &BandAbsorption, scale: f64, air_m2: f64) -> Option<f64> {
        let area = lined.area_m2;
        let over = |absorbing_m2: f64| scale / (absorbing_m2 + air_m2);
        let axes = |fold: fn(f64, f64, f64) -> f64, start: f64| {
            lined.axis_area_m2.iter().zip(lined.axis_mean).fold(start, |all, (&axis_m2, mean)| {
                if axis_m2 > 0.0 {
                    fold(all, over(area * exponent(mean)), axis_m2 / area)
                } else {
                    all
                }
            })
        };
        let time = match self {
            Self::Sabine => over(lined.absorbed_m2),
            Self::Eyring => over(area * exponent(lined.mean())),
            Self::Millington => over(lined.millington_m2),
            Self::Fitzroy => axes(|all, time, share| all + share * time, 0.0),
            Self::ArauPuchades => axes(|all, time, share| all * time.powf(share), 1.0),
            Self::Kuttruff => over(area * kuttruff_exponent(lined.mean())?),
        };
        (time.is_finite() && area > 0.0).then_some(time)
    }
}

/// Relative variance of free paths γ² that [`Formula::Kuttruff`] takes: his round value for rooms
/// of usual proportions (from memory; a 6 × 4 × 2.5 m box with diffuse walls has 0.367, computed).
pub const PATH_VARIANCE: f64 = 0.4;

fn kuttruff_exponent(mean: f64) -> Option<f64> {
    let plain = exponent(mean);
    (plain < 1.0 / PATH_VARIANCE).then_some(plain * (1.0 - 0.5 * PATH_VARIANCE * plain))
}
