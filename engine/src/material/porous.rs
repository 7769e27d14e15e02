//! A porous layer, with or without an air gap, in front of a rigid back.
//!
//! Characteristic impedance and wavenumber after Miki (1990) (read on a reference page of
//! acoustic materials), put through the textbook transfer matrix with Snell refraction, so sound
//! also runs sideways in the layer and in the gap (extended reaction; from memory). Time factor
//! e^{+jωt}.

use super::PorousBuild;
use crate::air::Air;
use crate::bands::{FrequencyGrid, PerBand};
use crate::quadrature::gauss_legendre;
use num_complex::Complex64;

/// What sound meets inside a porous material at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PorousMedium {
    /// Characteristic impedance, divided by that of air.
    pub impedance: Complex64,
    /// Wavenumber, divided by that of air.
    pub index: Complex64,
}

/// Miki's regression for a fibrous or open-cell material: frequency in hertz, flow resistivity in
/// Pa·s/m². Fitted for 0.01 < f/σ < 1; see [`within_fitted_range`].
pub fn miki(hz: f64, flow_resistivity: f64) -> PorousMedium {
    let y = 1000.0 * hz / flow_resistivity;
    let (z, k) = (y.powf(-0.632), y.powf(-0.618));
    PorousMedium {
        impedance: Complex64::new(1.0 + 5.50 * z, -8.43 * z),
        index: Complex64::new(1.0 + 7.81 * k, -11.41 * k),
    }
}

/// Whether Miki's regression was fitted at this frequency (Hz) and flow resistivity (Pa·s/m²).
/// Outside it still behaves sensibly in layers, but nothing was measured there.
pub fn within_fitted_range(hz: f64, flow_resistivity: f64) -> bool {
    (0.01..1.0).contains(&(hz / flow_resistivity))
}

/// A build at one frequency, ready for any angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PorousLayer {
    /// Characteristic impedance times refractive index, both relative to air.
    impedance_index: Complex64,
    index_square: Complex64,
    /// k₀ times the thickness.
    depth: f64,
    /// k₀ times the gap.
    gap: f64,
}

impl PorousLayer {
    pub(super) fn new(build: &PorousBuild, hz: f64, speed_of_sound_m_s: f64) -> Self {
        let k0 = std::f64::consts::TAU * hz / speed_of_sound_m_s;
        let medium = miki(hz, build.flow_resistivity);
        Self {
            impedance_index: medium.impedance * medium.index,
            index_square: medium.index * medium.index,
            depth: k0 * build.thickness_m,
            gap: k0 * build.gap_m,
        }
    }

    /// Complex pressure reflection factor at a cosine of incidence.
    ///
    /// Written in travelling waves, not cotangents, so no resonance of the gap or the layer and no
    /// grazing angle divides by zero: `q` is the trip through the layer and back, with what the
    /// gap and the rigid back return at its rear side.
    pub(super) fn reflection(&self, cos_incidence: f64) -> Complex64 {
        let sin_square = 1.0 - cos_incidence * cos_incidence;
        let normal_index = damped_root(self.index_square - sin_square);
        // Z_p cos θ, the layer's oblique impedance as the air outside sees it.
        let layer = self.impedance_index / normal_index * cos_incidence;
        let through = Complex64::new(2.0 * normal_index.im, -2.0 * normal_index.re) * self.depth;
        let mut q = through.exp();
        if self.gap > 0.0 {
            let trip = Complex64::cis(-2.0 * self.gap * cos_incidence);
            let (sum, difference) = (1.0 + trip, layer * (1.0 - trip));
            q *= (sum - difference) / (sum + difference);
        }
        let (rise, fall) = (layer * (1.0 + q), 1.0 - q);
        let below = rise + fall;
        if below.norm_sqr() == 0.0 {
            // No layer at all, at exactly grazing incidence: the rigid back alone.
            return Complex64::ONE;
        }
        let factor = (rise - fall) / below;
        // Far below its fitted range the regression may be active by a hair; a surface never is.
        if factor.norm_sqr() > 1.0 { factor / factor.norm() } else { factor }
    }

    /// Random-incidence absorption by numerical integration of Paris's integral.
    fn random_incidence(&self, rule: &[(f64, f64)]) -> f64 {
        // cos θ = t² packs points at grazing, where soft builds change fastest; one stretch for
        // every few radians that the build is deep keeps up with its interference.
        let stretches = (2.0 + 0.5 * (self.depth + self.gap)).min(500.0).ceil();
        let width = stretches.recip();
        let mut sum = 0.0;
        let mut stretch = 0.0;
        while stretch < stretches {
            for (x, w) in rule {
                let t = width * (stretch + x);
                let mu = t * t;
                sum += width * w * 4.0 * t * mu * (1.0 - self.reflection(mu).norm_sqr());
            }
            stretch += 1.0;
        }
        sum
    }
}

impl PorousBuild {
    /// Complex pressure reflection factor at a frequency (Hz) and a cosine of the angle of
    /// incidence, 0 grazing to 1 normal.
    pub fn reflection(&self, hz: f64, cos_incidence: f64, air: &Air) -> Complex64 {
        PorousLayer::new(self, hz, air.speed_of_sound_m_s()).reflection(cos_incidence)
    }

    /// Absorption coefficient at one frequency (Hz) for sound straight on.
    pub fn normal_incidence_at(&self, hz: f64, air: &Air) -> f64 {
        1.0 - self.reflection(hz, 1.0, air).norm_sqr()
    }

    /// Absorption coefficient at one frequency (Hz) for sound from everywhere in front (Paris).
    pub fn random_incidence_at(&self, hz: f64, air: &Air) -> f64 {
        PorousLayer::new(self, hz, air.speed_of_sound_m_s()).random_incidence(&gauss_legendre(16))
    }

    /// Random-incidence absorption coefficient per band, mean over the band's grid frequencies.
    pub(super) fn random_incidence(&self, grid: &FrequencyGrid, air: &Air) -> PerBand<f64> {
        let rule = gauss_legendre(16);
        let speed = air.speed_of_sound_m_s();
        FrequencyGrid::band_mean(|index| {
            PorousLayer::new(self, grid.hz()[index], speed).random_incidence(&rule)
        })
    }
}

/// The square root that decays on its way: real part up, imaginary part down, for a number whose
/// imaginary part is not positive.
fn damped_root(z: Complex64) -> Complex64 {
    let magnitude = z.norm_sqr().sqrt();
    let re = (0.5 * (magnitude + z.re)).max(0.0).sqrt();
    let im = (0.5 * (magnitude - z.re)).max(0.0).sqrt();
    Complex64::new(re, -im)
}
