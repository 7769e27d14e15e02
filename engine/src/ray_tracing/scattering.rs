//! Sampling of specular reflection or scattering, once for all bands.
//!
//! One path serves all bands, though each would scatter with a probability of its own. It is drawn as if a band,
//! chosen at launch, drew it, and counts for every band by the balance heuristic: by the probability with which
//! that band would have drawn it, over the mean of all bands (Veach 1997; for wavelengths Wilkie and others 2014,
//! hero wavelength spectral sampling; from memory). The weight of a path is thus at most the number of bands,
//! however often it bounces; independent weights at each bounce would multiply without bound.

use super::band_vector::{BandVector, band_vector, product};
use crate::medium::bands::{BAND_COUNT, PerBand};

/// Scattering of a material.
#[derive(Debug, Clone, Copy)]
pub(super) struct ScatteringSampler {
    /// Scattering coefficient: scattered fraction of what is reflected.
    pub(super) coefficient: BandVector,
    /// Whether anything is scattered.
    pub(super) scatters: bool,
    /// Whether all bands scatter alike, so that no path needs a weight.
    pub(super) is_uniform: bool,
}

/// For each band, the probability that a path was drawn by it: its posterior, given all choices on the way. The
/// weight of the path in that band is [`BAND_COUNT`] times as much.
pub(super) type BandPosterior = BandVector;

/// Posterior of a path without a choice.
pub(super) const EVEN: BandPosterior = [1.0 / BAND_COUNT as f32; BAND_COUNT];

/// Outcome of a choice.
#[derive(Debug, Clone, Copy)]
pub(super) struct ScatteringEvent {
    /// Whether the ray goes on scattered.
    pub(super) is_scattered: bool,
    /// Factor on the energy of each band, and on its posterior; `None` where it is one.
    pub(super) weight: Option<BandVector>,
}

impl ScatteringSampler {
    pub(super) fn new(coefficient: &PerBand<f64>) -> Self {
        let coefficient = band_vector(*coefficient);
        Self {
            coefficient,
            scatters: coefficient.iter().any(|&s| s > 0.0),
            is_uniform: coefficient.iter().all(|s| s.total_cmp(&coefficient[0]).is_eq()),
        }
    }

    /// Chooses with a random number in [0, 1), for a path of this posterior. The mean weight is s where the ray
    /// goes on scattered and 1 − s where it is specular, so every band is unbiased.
    #[inline(always)]
    pub(super) fn sample(&self, posterior: &BandPosterior, random: f32) -> ScatteringEvent {
        if self.is_uniform {
            return ScatteringEvent { is_scattered: random < self.coefficient[0], weight: None };
        }
        let probability = product(*posterior, self.coefficient).iter().sum::<f32>();
        let is_scattered = random < probability;
        let weight = if is_scattered {
            self.coefficient.map(|s| s / probability)
        } else {
            self.coefficient.map(|s| (1.0 - s) / (1.0 - probability))
        };
        ScatteringEvent { is_scattered, weight: Some(weight) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::stream::Stream;

    /// Whatever the materials on the way, no band weighs a path by more than the number of bands, and on average
    /// each weighs it by one.
    #[test]
    fn weights_are_bounded_and_even_on_average() {
        let materials = [
            [0.02, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.9],
            [0.5, 0.4, 0.3, 0.2, 0.1, 0.05, 0.02, 0.01],
            [0.3; 8],
        ]
        .map(|s| ScatteringSampler::new(&s));
        let paths = 20_000;
        let mut mean = [0.0; BAND_COUNT];
        let mut square = [0.0; BAND_COUNT];
        for index in 0..paths {
            let mut stream = Stream::new(3, index);
            let mut posterior = EVEN;
            for bounce in 0..60 {
                let event = materials[bounce % 3].sample(&posterior, stream.next());
                if let Some(weight) = event.weight {
                    posterior = product(posterior, weight);
                }
            }
            for (band, share) in posterior.iter().enumerate() {
                let weight = f64::from(*share) * BAND_COUNT as f64;
                assert!(weight <= 1.001 * BAND_COUNT as f64, "{weight}");
                mean[band] += weight / paths as f64;
                square[band] += weight * weight / paths as f64;
            }
        }
        for (mean, square) in mean.iter().zip(square) {
            let error = ((square - mean * mean) / paths as f64).sqrt();
            assert!((mean - 1.0).abs() < 4.0 * error && error < 0.03, "{mean} +- {error}");
        }
    }
}
