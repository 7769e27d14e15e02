//! Sampling of specular reflection or scattering, once for all bands.

use super::band_vector::{BandVector, band_vector};
use crate::medium::bands::PerBand;
use crate::numerics::single_precision::to_f32;

/// Scattering of a material.
#[derive(Debug, Clone, Copy)]
pub(super) struct ScatteringSampler {
    /// Scattering coefficient: scattered fraction of what is reflected.
    pub(super) coefficient: BandVector,
    /// Probability p that a ray goes on scattered; 0 for a specular material.
    pub(super) probability: f32,
    /// Weight of a ray that does: coefficient / p.
    pub(super) scattered_weight: BandVector,
    /// Weight of a ray that does not: (1 − coefficient) / (1 − p).
    pub(super) specular_weight: BandVector,
}

impl ScatteringSampler {
    /// One random number serves all bands, and weights keep each band unbiased: the mean weight is s
    /// where the ray goes on scattered and 1 − s where it is specular, for any probability strictly
    /// between 0 and 1. The one taken has the least greatest weight: max s/(max s + 1 − min s). Where
    /// all bands scatter alike it is s itself and every weight is 1.
    pub(super) fn new(coefficient: &PerBand<f64>) -> Self {
        let most = coefficient.iter().copied().fold(0.0, f64::max);
        let least = coefficient.iter().copied().fold(1.0, f64::min);
        let probability = most / (most + 1.0 - least);
        let weight =
            |s: f64, probability: f64| if probability > 0.0 { s / probability } else { 0.0 };
        Self {
            coefficient: band_vector(*coefficient),
            probability: to_f32(probability),
            scattered_weight: band_vector(coefficient.map(|s| weight(s, probability))),
            specular_weight: band_vector(coefficient.map(|s| weight(1.0 - s, 1.0 - probability))),
        }
    }

    /// Whether any weight that can occur is not 1.
    pub(super) fn has_weights(&self) -> bool {
        let Self { probability, scattered_weight, specular_weight, .. } = self;
        let is_not_one =
            |weights: &BandVector| weights.iter().any(|&weight| (weight - 1.0).abs() > 0.0);
        *probability > 0.0
            && (is_not_one(scattered_weight) || *probability < 1.0 && is_not_one(specular_weight))
    }
}
