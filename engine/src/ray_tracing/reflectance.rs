//! Reflected energy by material and angle of incidence, tabulated.

use super::band_vector::{BandVector, band_vector, lerp};
use super::scattering::ScatteringSampler;
use crate::geometry::enclosure::Enclosure;
use crate::geometry::ray_cast::packet::{RayColumn, WIDTH};
use crate::medium::materials::ReflectionLaw;
use crate::numerics::fast_floor::fast_floor;
use crate::scene::Scene;

/// Reflection and scattering of all materials of a scene.
#[derive(Debug)]
pub(super) struct ReflectanceTable {
    /// Reflected fraction of the energy, for each material at each step of √cos θ.
    rows: Vec<BandVector>,
    samplers: Vec<ScatteringSampler>,
    /// Whether sampling changes the energy of any ray: not where all bands scatter alike.
    has_weights: bool,
    steps: f32,
    /// Rows of one material.
    stride: u32,
}

/// Steps of √cos θ: close together at grazing incidence, where hard materials change fastest.
const STEPS: usize = 256;

impl ReflectanceTable {
    /// Tabulates all materials of a scene.
    pub(super) fn new(scene: &Scene, enclosure: &Enclosure) -> Self {
        let steps = match scene.model().reflection {
            ReflectionLaw::Constant => 1,
            ReflectionLaw::Angle => STEPS,
        };
        let rows = (0..scene.materials().len())
            .flat_map(|material| {
                let reflector = enclosure.reflector(material);
                (0..steps + 2).map(move |step| {
                    // One more than normal incidence, so that a position at the end has a next row.
                    let root = (step as f64 / steps as f64).min(1.0);
                    band_vector(reflector.reflected_energy(root * root))
                })
            })
            .collect();
        let samplers: Vec<ScatteringSampler> =
            scene.materials().iter().map(|m| ScatteringSampler::new(&m.scattering)).collect();
        let has_weights = samplers.iter().any(|sampler| !sampler.is_uniform);
        Self { rows, samplers, has_weights, steps: steps as f32, stride: steps as u32 + 2 }
    }

    /// Whether any material scatters.
    pub(super) fn has_scattering(&self) -> bool {
        self.samplers.iter().any(|sampler| sampler.scatters)
    }

    /// All rows of the table.
    pub(super) fn rows(&self) -> &[BandVector] {
        &self.rows
    }

    /// Row and fraction toward the next one for a material and a cosine of incidence.
    #[inline(always)]
    pub(super) fn position(&self, material: u32, cos: f32) -> (u32, f32) {
        let (step, fraction) = fast_floor(cos.min(1.0).sqrt() * self.steps);
        (material * self.stride + step, fraction)
    }

    /// Rows and fractions for the materials and cosines of incidence of a packet.
    #[inline(always)]
    pub(super) fn positions(
        &self,
        materials: &RayColumn<u32>,
        cos: &RayColumn<f32>,
    ) -> (RayColumn<u32>, RayColumn<f32>) {
        let (mut rows, mut fractions) = ([0; WIDTH], [0.0; WIDTH]);
        let (steps, stride) = (self.steps, self.stride);
        for i in 0..WIDTH {
            let (step, fraction) = fast_floor(cos[i].sqrt() * steps);
            rows[i] = materials[i] * stride + step;
            fractions[i] = fraction;
        }
        (rows, fractions)
    }

    /// Reflected fraction of the energy at a position of the table, per band.
    #[inline(always)]
    pub(super) fn lerp(&self, row: u32, fraction: f32) -> BandVector {
        lerp(&self.rows[row as usize], &self.rows[row as usize + 1], fraction)
    }

    /// Whether sampling changes the energy of any ray.
    #[inline(always)]
    pub(super) fn has_weights(&self) -> bool {
        self.has_weights
    }

    /// Scattering of a material.
    #[inline(always)]
    pub(super) fn scattering(&self, material: u32) -> &ScatteringSampler {
        &self.samplers[material as usize]
    }
}
