//! A surface ready to reflect: its pressure factor at any angle and frequency.

use super::material::{Material, ReflectionLaw, SurfaceModel};
use super::paris;
use super::porous_stack::PorousStack;
use crate::medium::air::Air;
use crate::medium::bands::{FrequencyGrid, PerBand};
use num_complex::Complex64;

/// A material under a reflection law, prepared once for one state of the air and one grid.
///
/// The factor is that of the specular share: √(1 − scattering) is in it. Absorption coefficients,
/// impedances and scattering coefficients hold over their whole octave band; a porous build is
/// evaluated at every grid frequency.
#[derive(Debug, Clone)]
pub struct Reflector {
    model: ReflectionModel,
    /// 1 − scattering.
    specular: PerBand<f64>,
}

/// The specular pressure factor before scattering.
#[derive(Debug, Clone)]
enum ReflectionModel {
    /// Independent of the angle.
    Fixed(PerBand<f64>),
    /// Locally reacting with a real admittance, times a factor for what local reaction alone
    /// cannot absorb.
    Real { admittance: PerBand<f64>, scale: PerBand<f64> },
    /// Locally reacting with a complex impedance.
    Complex(PerBand<Complex64>),
    /// A porous build, one stack of its layers a grid frequency.
    Porous(Vec<PorousStack>),
}

impl Reflector {
    /// Prepares a material.
    ///
    /// [`ReflectionLaw::Constant`] is √(1 − α) with the random-incidence α of whatever build.
    /// [`ReflectionLaw::Angle`] takes an impedance or a porous build as it is; from an α it finds
    /// the real admittance on the hard branch ([`paris::admittance_for`]), and above the
    /// 0.951 that local reaction can reach it scales |R|² down by (1 − α)/(1 − 0.951), so that the
    /// random-incidence absorption is α exactly and nothing jumps.
    pub fn new(material: &Material, law: ReflectionLaw, air: &Air, grid: &FrequencyGrid) -> Self {
        let model = match (law, &material.surface_model) {
            (ReflectionLaw::Constant, _) => ReflectionModel::Fixed(
                material.random_incidence(air).map(|a| (1.0 - a).max(0.0).sqrt()),
            ),
            (ReflectionLaw::Angle, SurfaceModel::Absorption(alpha)) => ReflectionModel::Real {
                admittance: alpha.map(paris::admittance_for),
                scale: alpha.map(paris::beyond_local_reaction),
            },
            (ReflectionLaw::Angle, SurfaceModel::Impedance(zeta)) => {
                ReflectionModel::Complex(*zeta)
            }
            (ReflectionLaw::Angle, SurfaceModel::Porous(build)) => {
                let speed = air.speed_of_sound_m_s();
                ReflectionModel::Porous(
                    grid.hz().iter().map(|&hz| PorousStack::new(build, hz, speed)).collect(),
                )
            }
        };
        let specular = material.scattering.map(|s| 1.0 - s.clamp(0.0, 1.0));
        Self { model, specular }
    }

    /// Writes the complex pressure factor of the specular reflection at every grid frequency, at a
    /// cosine of the angle of incidence from 0 (grazing) to 1 (straight on). `out` is as long as
    /// the grid.
    pub fn pressure(&self, cos_incidence: f64, out: &mut [Complex64]) {
        if let ReflectionModel::Porous(stacks) = &self.model {
            for ((index, stack), value) in stacks.iter().enumerate().zip(out) {
                let specular = self.specular[FrequencyGrid::band_of(index)].sqrt();
                *value = stack.reflection(cos_incidence) * specular;
            }
            return;
        }
        let factors = self.band_pressure(cos_incidence);
        for (points, factor) in out.chunks_mut(FrequencyGrid::POINTS_PER_BAND).zip(factors) {
            points.fill(factor);
        }
    }

    /// Mean over each band of the squared magnitude of [`Reflector::pressure`].
    pub fn band_energy(&self, cos_incidence: f64) -> PerBand<f64> {
        let mut energy = match &self.model {
            ReflectionModel::Fixed(factor) => factor.map(|r| r * r),
            ReflectionModel::Real { admittance, scale } => std::array::from_fn(|band| {
                let r = local_reaction(cos_incidence, admittance[band]) * scale[band];
                r * r
            }),
            ReflectionModel::Complex(zeta) => {
                zeta.map(|z| complex_local_reaction(cos_incidence, z).norm_sqr())
            }
            ReflectionModel::Porous(stacks) => porous_energy(stacks, cos_incidence),
        };
        for (e, specular) in energy.iter_mut().zip(self.specular) {
            *e *= specular;
        }
        energy
    }

    /// Mean over each band of the share of energy that is reflected, mirrored and scattered together.
    pub fn reflected_energy(&self, cos_incidence: f64) -> PerBand<f64> {
        let all = Self { specular: [1.0; 8], ..self.clone() };
        all.band_energy(cos_incidence)
    }

    /// The factor per band, for every build but the porous one (which gives ones here).
    fn band_pressure(&self, cos_incidence: f64) -> PerBand<Complex64> {
        std::array::from_fn(|band| {
            let factor = match &self.model {
                ReflectionModel::Fixed(factor) => factor[band].into(),
                ReflectionModel::Real { admittance, scale } => {
                    (local_reaction(cos_incidence, admittance[band]) * scale[band]).into()
                }
                ReflectionModel::Complex(zeta) => complex_local_reaction(cos_incidence, zeta[band]),
                ReflectionModel::Porous(_) => Complex64::ONE,
            };
            factor * self.specular[band].sqrt()
        })
    }
}

impl Material {
    /// Absorption coefficient per band for sound straight on, as [`ReflectionLaw::Angle`] has it.
    /// Scattering has no part in it.
    pub fn normal_incidence(&self, air: &Air) -> PerBand<f64> {
        let grid = FrequencyGrid::new();
        let smooth = Self { scattering: [0.0; 8], ..self.clone() };
        Reflector::new(&smooth, ReflectionLaw::Angle, air, &grid).band_energy(1.0).map(|e| 1.0 - e)
    }
}

/// R(θ) = (ζ cos θ − 1)/(ζ cos θ + 1), written with the admittance so that a rigid wall is 1.
fn local_reaction(cos_incidence: f64, admittance: f64) -> f64 {
    if admittance == 0.0 {
        return 1.0;
    }
    (cos_incidence - admittance) / (cos_incidence + admittance)
}

/// Reflection factor of a complex impedance; an infinite one is a rigid wall.
fn complex_local_reaction(cos_incidence: f64, zeta: Complex64) -> Complex64 {
    if !zeta.is_finite() {
        return Complex64::ONE;
    }
    let across = zeta * cos_incidence;
    (across - 1.0) / (across + 1.0)
}

fn porous_energy(stacks: &[PorousStack], cos_incidence: f64) -> PerBand<f64> {
    FrequencyGrid::band_mean(|index| stacks[index].reflection(cos_incidence).norm_sqr())
}
