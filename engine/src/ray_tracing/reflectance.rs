//! What a bounce leaves of a ray, by material and angle, ready to look up.

use super::fast_floor::fast_floor;
use super::path_packet::{Column, WIDTH};
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::medium::materials::ReflectionLaw;
use crate::scene::Scene;

/// A row of eight bands, as wide as a vector register.
pub(super) type BandVector = [f32; BAND_COUNT];

/// All materials of a scene.
#[derive(Debug)]
pub(super) struct ReflectanceTable {
    /// Reflected share of the energy, for each material at each step of √cos θ.
    rows: Vec<BandVector>,
    samplers: Vec<ScatteringSampler>,
    /// Whether any ray's energy is changed by a draw: not where all bands scatter alike.
    has_weights: bool,
    steps: f32,
    /// Rows of one material.
    stride: u32,
}

/// How a material scatters, per band, and how one draw decides for all bands at once.
#[derive(Debug, Clone, Copy)]
pub(super) struct ScatteringSampler {
    /// Scattered share of what is reflected.
    pub(super) coefficient: BandVector,
    /// Probability that a ray goes on scattered; 0 for a mirror.
    pub(super) probability: f32,
    /// What the energy is multiplied with when it does: share / chance.
    pub(super) scattered_weight: BandVector,
    /// And when it does not: (1 − share) / (1 − chance).
    pub(super) specular_weight: BandVector,
}

/// Steps of √cos θ: close together at grazing incidence, where hard materials change fastest.
const STEPS: usize = 256;

impl ReflectanceTable {
    pub(super) fn new(scene: &Scene, enclosure: &Enclosure) -> Self {
        let steps = match scene.model().reflection {
            ReflectionLaw::Constant => 1,
            ReflectionLaw::Angle => STEPS,
        };
        let rows = (0..scene.materials().len())
            .flat_map(|material| {
                let reflector = enclosure.reflector(material);
                (0..steps + 2).map(move |step| {
                    // One more than full incidence, so that a place at the end has a next.
                    let root = (step as f64 / steps as f64).min(1.0);
                    band_vector(reflector.reflected_energy(root * root))
                })
            })
            .collect();
        let samplers: Vec<ScatteringSampler> =
            scene.materials().iter().map(|m| ScatteringSampler::new(&m.scattering)).collect();
        let has_weights = samplers.iter().any(ScatteringSampler::has_weights);
        Self { rows, samplers, has_weights, steps: steps as f32, stride: steps as u32 + 2 }
    }

    /// Whether any material scatters.
    pub(super) fn has_scattering(&self) -> bool {
        self.samplers.iter().any(|sampler| sampler.probability > 0.0)
    }

    /// Reflected share at every place in the table.
    pub(super) fn rows(&self) -> &[BandVector] {
        &self.rows
    }

    /// The place in the table for a material and a cosine of incidence.
    #[inline(always)]
    pub(super) fn position(&self, material: u32, cos: f32) -> (u32, f32) {
        let (step, part) = fast_floor(cos.min(1.0).sqrt() * self.steps);
        (material * self.stride + step, part)
    }

    /// SurfaceMaterials in the table for the materials and cosines of incidence of many rays.
    #[inline(always)]
    pub(super) fn positions(
        &self,
        materials: &Column<u32>,
        cos: &Column<f32>,
    ) -> (Column<u32>, Column<f32>) {
        let (mut whole, mut part) = ([0; WIDTH], [0.0; WIDTH]);
        let (steps, stride) = (self.steps, self.stride);
        for i in 0..WIDTH {
            let (step, rest) = fast_floor(cos[i].sqrt() * steps);
            whole[i] = materials[i] * stride + step;
            part[i] = rest;
        }
        (whole, part)
    }

    /// Reflected share of the energy at a place in the table, per band.
    #[inline(always)]
    pub(super) fn lerp(&self, step: u32, part: f32) -> BandVector {
        let (low, high) = (&self.rows[step as usize], &self.rows[step as usize + 1]);
        std::array::from_fn(|band| low[band] + part * (high[band] - low[band]))
    }

    /// Whether any ray's energy is changed by a draw.
    #[inline(always)]
    pub(super) fn has_weights(&self) -> bool {
        self.has_weights
    }

    #[inline(always)]
    pub(super) fn scattering(&self, material: u32) -> &ScatteringSampler {
        &self.samplers[material as usize]
    }
}

impl ScatteringSampler {
    fn has_weights(&self) -> bool {
        let Self { probability, scattered_weight, specular_weight, .. } = self;
        let other_than_one =
            |weights: &BandVector| weights.iter().any(|&weight| (weight - 1.0).abs() > 0.0);
        *probability > 0.0
            && (other_than_one(scattered_weight)
                || *probability < 1.0 && other_than_one(specular_weight))
    }

    /// One draw serves all bands, and weights keep each band unbiased: the mean weight is s where the ray
    /// goes on scattered and 1 − s where it is mirrored, for any chance strictly between. The chance
    /// taken is the one whose greatest weight is least: max s/(max s + 1 − min s). Where all bands
    /// scatter alike it is s itself and every weight is 1.
    fn new(share: &PerBand<f64>) -> Self {
        let most = share.iter().copied().fold(0.0, f64::max);
        let least = share.iter().copied().fold(1.0, f64::min);
        let probability = most / (most + 1.0 - least);
        let over =
            |part: f64, probability: f64| if probability > 0.0 { part / probability } else { 0.0 };
        Self {
            coefficient: band_vector(*share),
            probability: to_f32(probability),
            scattered_weight: band_vector(share.map(|s| over(s, probability))),
            specular_weight: band_vector(share.map(|s| over(1.0 - s, 1.0 - probability))),
        }
    }
}

pub(super) fn band_vector(values: PerBand<f64>) -> BandVector {
    values.map(to_f32)
}

pub(super) fn to_f32(value: f64) -> f32 {
    value as f32
}
