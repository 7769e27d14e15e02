//! What surfaces are made of, and how they reflect.

pub mod catalogue;
pub mod paris;
pub mod porous;
mod porous_stack;
mod reflector;

pub use porous::{AbsorberLayer, PorousAbsorber};
pub use reflector::Reflector;

use crate::medium::air::Air;
use crate::medium::bands::{FrequencyGrid, PerBand};
use num_complex::Complex64;

/// A surface material as the scene or the catalogue gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Its name, unique within a scene.
    pub name: String,
    /// What it is known by.
    pub surface_model: SurfaceModel,
    /// Scattering coefficient per band, 0 to 1 (ISO 17497-1): the share of the reflected
    /// energy that does not leave in the specular direction.
    pub scattering: PerBand<f64>,
    /// Where the values come from, in words.
    pub source: String,
}

/// How a material's reflection is described.
#[derive(Debug, Clone, PartialEq)]
pub enum SurfaceModel {
    /// Random-incidence absorption coefficient per band, 0 to 1.
    Absorption(PerBand<f64>),
    /// Normalised surface impedance Z/(ρc) per band, locally reacting, time factor e^{+jωt}.
    Impedance(PerBand<Complex64>),
    /// Porous layers and air before a rigid back, computed from its physics.
    Porous(PorousAbsorber),
}

/// How a surface answers sound that arrives at an angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReflectionLaw {
    /// Pressure factor √(1 − α) at every angle, the textbook form.
    Constant,
    /// Pressure reflection from an angle-dependent impedance.
    Angle,
}

impl Material {
    /// Random-incidence absorption coefficient per band: as given, or by Paris's closed form from
    /// an impedance, or the energy mean over the band of a porous build's own integral. Scattering
    /// has no part in it.
    pub fn random_incidence(&self, air: &Air) -> PerBand<f64> {
        match &self.surface_model {
            SurfaceModel::Absorption(alpha) => alpha.map(|a| a.clamp(0.0, 1.0)),
            SurfaceModel::Impedance(zeta) => zeta.map(paris::random_incidence),
            SurfaceModel::Porous(build) => build.random_incidence(&FrequencyGrid::new(), air),
        }
    }

    /// Absorption coefficient per band for sound straight on, as [`ReflectionLaw::Angle`] has it.
    /// Scattering has no part in it.
    pub fn normal_incidence(&self, air: &Air) -> PerBand<f64> {
        let grid = FrequencyGrid::new();
        let smooth = Self { scattering: [0.0; 8], ..self.clone() };
        Reflector::new(&smooth, ReflectionLaw::Angle, air, &grid).band_energy(1.0).map(|e| 1.0 - e)
    }
}
