//! Porous builds: what sound meets in a porous material, and layers of it before a rigid wall.
//!
//! Characteristic impedance and wavenumber after Miki (1990) (read on a reference page of
//! acoustic materials). Time factor e^{+jωt}.

use super::porous_stack::PorousStack;
use crate::medium::air::Air;
use crate::medium::bands::{FrequencyGrid, PerBand};
use crate::numerics::quadrature::gauss_legendre;
use num_complex::Complex64;

/// The most layers a build may have.
pub const MAX_LAYERS: usize = 12;

/// Porous layers and air gaps before a rigid back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PorousAbsorber {
    /// The first `count` of them, from the room side to the back; nothing after.
    layers: [AbsorberLayer; MAX_LAYERS],
    count: usize,
}

/// One layer of a build.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AbsorberLayer {
    /// A porous material.
    Porous {
        /// Its thickness in metres.
        thickness_m: f64,
        /// Its flow resistivity in Pa·s/m².
        flow_resistivity: f64,
    },
    /// A gap of air.
    Air {
        /// Its depth in metres.
        thickness_m: f64,
    },
}

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

impl PorousAbsorber {
    /// One porous layer (metres, Pa·s/m²), with a gap of air behind it unless that is 0 metres.
    pub const fn single(thickness_m: f64, flow_resistivity: f64, gap_m: f64) -> Self {
        let mut layers = [UNUSED_LAYER; MAX_LAYERS];
        layers[0] = AbsorberLayer::Porous { thickness_m, flow_resistivity };
        if 0.0 < gap_m {
            layers[1] = AbsorberLayer::Air { thickness_m: gap_m };
            return Self { layers, count: 2 };
        }
        Self { layers, count: 1 }
    }

    /// Layers from the room side to the rigid back; `None` when there are none or more than
    /// [`MAX_LAYERS`].
    pub fn new(layers: &[AbsorberLayer]) -> Option<Self> {
        let mut build = Self { layers: [UNUSED_LAYER; MAX_LAYERS], count: layers.len() };
        build.layers.get_mut(..layers.len())?.copy_from_slice(layers);
        (!layers.is_empty()).then_some(build)
    }

    /// Its layers, from the room side to the rigid back.
    pub fn layers(&self) -> &[AbsorberLayer] {
        self.layers.get(..self.count).unwrap_or(&self.layers)
    }

    /// Complex pressure reflection factor at a frequency (Hz) and a cosine of the angle of
    /// incidence, 0 grazing to 1 normal.
    pub fn reflection(&self, hz: f64, cos_incidence: f64, air: &Air) -> Complex64 {
        PorousStack::new(self, hz, air.speed_of_sound_m_s()).reflection(cos_incidence)
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

impl AbsorberLayer {
    /// Its thickness in metres.
    pub const fn thickness_m(&self) -> f64 {
        match *self {
            Self::Porous { thickness_m, .. } | Self::Air { thickness_m } => thickness_m,
        }
    }
}

/// What stands in the places that are not in use.
const UNUSED_LAYER: AbsorberLayer = AbsorberLayer::Air { thickness_m: 0.0 };
