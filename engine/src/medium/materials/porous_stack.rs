//! Layers before a rigid back at one frequency, ready for any angle.
//!
//! The textbook transfer matrix with Snell refraction, so sound also runs sideways in every layer
//! (extended reaction; from memory). Pressure and velocity are carried from the rigid back outward
//! up to a factor that both share, as travelling waves in porous layers and as sines in air, so no
//! resonance and no grazing angle divides by zero and no thick layer overflows.

use super::porous::{AbsorberLayer, PorousAbsorber, miki};
use crate::medium::air::Air;
use crate::medium::bands::{FrequencyGrid, PerBand};
use crate::numerics::quadrature::gauss_legendre;
use num_complex::Complex64;

/// A build at one frequency.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PorousStack {
    /// From the rigid back to the room side.
    layers: Box<[TransferLayer]>,
}

/// A layer at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
enum TransferLayer {
    Porous {
        index_square: Complex64,
        /// One over characteristic impedance times refractive index, both relative to air.
        slowness: Complex64,
        /// k₀ times the thickness.
        depth: f64,
    },
    Air {
        /// k₀ times the thickness.
        depth: f64,
    },
}

/// Pressure, and velocity into the layer times ρc, at one plane; up to a factor that both share.
type StateVector = (Complex64, Complex64);

impl PorousStack {
    pub(super) fn new(build: &PorousAbsorber, hz: f64, speed_of_sound_m_s: f64) -> Self {
        let k0 = std::f64::consts::TAU * hz / speed_of_sound_m_s;
        let transfer_layer = |layer: &AbsorberLayer| match *layer {
            AbsorberLayer::Porous { thickness_m, flow_resistivity } => {
                let medium = miki(hz, flow_resistivity);
                TransferLayer::Porous {
                    index_square: medium.index * medium.index,
                    slowness: (medium.impedance * medium.index).inv(),
                    depth: k0 * thickness_m,
                }
            }
            AbsorberLayer::Air { thickness_m } => TransferLayer::Air { depth: k0 * thickness_m },
        };
        Self { layers: build.layers().iter().rev().map(transfer_layer).collect() }
    }

    /// Complex pressure reflection factor at a cosine of incidence; never more than 1 in size.
    pub(super) fn reflection(&self, cos_incidence: f64) -> Complex64 {
        let sin_square = 1.0 - cos_incidence * cos_incidence;
        // At the rigid back there is pressure and no velocity.
        let mut wave = (Complex64::ONE, Complex64::ZERO);
        for layer in &self.layers {
            wave = layer.carry(wave, cos_incidence, sin_square);
        }
        let (rise, fall) = (wave.0 * cos_incidence, wave.1);
        let below = rise + fall;
        if below.norm_sqr() == 0.0 {
            // As good as nothing before the rigid back, at exactly grazing incidence.
            return Complex64::ONE;
        }
        let factor = (rise - fall) / below;
        // Far below its fitted range the regression may be active by a hair; a surface never is.
        if factor.norm_sqr() > 1.0 { factor / factor.norm() } else { factor }
    }

    /// Random-incidence absorption by numerical integration of Paris's integral.
    pub(super) fn random_incidence(&self, rule: &[(f64, f64)]) -> f64 {
        let depth: f64 = self.layers.iter().map(TransferLayer::depth).sum();
        // cos θ = t² packs points at grazing, where soft builds change fastest; one stretch for
        // every few radians that the build is deep keeps up with its interference.
        let stretches = (2.0 + 0.5 * depth).min(500.0).ceil();
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

impl PorousAbsorber {
    /// Complex pressure reflection factor at a frequency (Hz) and a cosine of the angle of
    /// incidence, 0 grazing to 1 normal.
    pub fn reflection(&self, hz: f64, cos_incidence: f64, air: &Air) -> Complex64 {
        PorousStack::new(self, hz, air.speed_of_sound_m_s()).reflection(cos_incidence)
    }

    /// Specific admittances ρc/Z of the porous layers hung in the open, without what is behind them: of either side
    /// while both have the same pressure, and while they have opposite ones. Half of each layer is taken to be on
    /// either side of the middle, which is rigid in the first case and has no pressure in the second; the fibres do
    /// not move.
    pub(crate) fn hung_admittances(&self, hz: f64, air: &Air) -> [Complex64; 2] {
        let halves: Vec<AbsorberLayer> = self
            .layers()
            .iter()
            .filter_map(|layer| match *layer {
                AbsorberLayer::Porous { thickness_m, flow_resistivity } => {
                    Some(AbsorberLayer::Porous { thickness_m: 0.5 * thickness_m, flow_resistivity })
                }
                AbsorberLayer::Air { .. } => None,
            })
            .collect();
        let Some(half) = Self::new(&halves) else { return [Complex64::ZERO; 2] };
        let stack = PorousStack::new(&half, hz, air.speed_of_sound_m_s());
        [(Complex64::ONE, Complex64::ZERO), (Complex64::ZERO, Complex64::ONE)].map(|middle| {
            let carry = |wave, layer: &TransferLayer| layer.carry(wave, 1.0, 0.0);
            let (pressure, velocity) = stack.layers.iter().fold(middle, carry);
            velocity / pressure
        })
    }

    /// Absorption coefficient at one frequency (Hz) for sound straight on.
    pub fn normal_incidence_at(&self, hz: f64, air: &Air) -> f64 {
        1.0 - self.reflection(hz, 1.0, air).norm_sqr()
    }

    /// Absorption coefficient at one frequency (Hz) for sound from everywhere in front (Paris).
    pub fn random_incidence_at(&self, hz: f64, air: &Air) -> f64 {
        PorousStack::new(self, hz, air.speed_of_sound_m_s()).random_incidence(&gauss_legendre(16))
    }

    /// Random-incidence absorption coefficient per band, mean over the band's grid frequencies.
    pub(super) fn random_incidence(&self, grid: &FrequencyGrid, air: &Air) -> PerBand<f64> {
        let rule = gauss_legendre(16);
        let speed = air.speed_of_sound_m_s();
        FrequencyGrid::band_mean(|index| {
            PorousStack::new(self, grid.hz()[index], speed).random_incidence(&rule)
        })
    }
}

impl TransferLayer {
    fn depth(&self) -> f64 {
        match *self {
            Self::Porous { depth, .. } | Self::Air { depth } => depth,
        }
    }

    /// From its rear side to its front.
    fn carry(&self, (pressure, velocity): StateVector, cos: f64, sin_square: f64) -> StateVector {
        match *self {
            Self::Porous { index_square, slowness, depth } => {
                let normal_index = damped_root(index_square - sin_square);
                // The wave that comes in is one, the wave that goes back has made the trip through
                // the layer and back, which only ever makes it smaller.
                let admittance = normal_index * slowness;
                let inward = pressure * admittance + velocity;
                let trip = Complex64::new(2.0 * normal_index.im, -2.0 * normal_index.re) * depth;
                let outward = (pressure * admittance - velocity) * trip.exp();
                (inward + outward, (inward - outward) * admittance)
            }
            Self::Air { depth } => {
                let (sin, cosine) = (depth * cos).sin_cos();
                // sin(k₀ D cos θ)/cos θ, which is k₀ D at grazing.
                let stretch = if sin == 0.0 && cos == 0.0 { depth } else { sin / cos };
                let quarter = Complex64::I;
                (
                    pressure * cosine + quarter * velocity * stretch,
                    velocity * cosine + quarter * pressure * (sin * cos),
                )
            }
        }
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
