//! Porous absorbers: the equivalent fluid of a porous material, and layers of it before a rigid wall.
//!
//! Characteristic impedance and wavenumber after Miki (1990) (read on a reference page of
//! acoustic materials). Time factor e^{+jωt}.

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

/// Equivalent fluid of a porous material at one frequency.
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
}

impl AbsorberLayer {
    /// Its thickness in metres.
    pub const fn thickness_m(&self) -> f64 {
        match *self {
            Self::Porous { thickness_m, .. } | Self::Air { thickness_m } => thickness_m,
        }
    }
}

/// Filler of the unused places of the array.
const UNUSED_LAYER: AbsorberLayer = AbsorberLayer::Air { thickness_m: 0.0 };
