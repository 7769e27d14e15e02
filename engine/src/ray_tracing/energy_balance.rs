//! Energy balance of a ray trace.

use crate::medium::bands::{BAND_COUNT, PerBand};
use std::ops::AddAssign;

/// Energy by its fate, per band, relative to what an omnidirectional speaker of the same level on axis
/// would emit.
///
/// Emitted = absorbed + absorbed by air + roulette + truncated, but for rounding. In an empty room of
/// six specular surfaces the division between surfaces and air is a close estimate; see
/// `docs/theory.md`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EnergyBalance {
    /// Emitted by the speaker.
    pub emitted: PerBand<f64>,
    /// Absorbed by surfaces, panels, screens and furniture.
    pub absorbed: PerBand<f64>,
    /// Absorbed by the air.
    pub air_absorbed: PerBand<f64>,
    /// Taken (or, negative, given) by random choices: Russian roulette below the floor, and the weights
    /// of scattering sampled once for all bands. Zero on average.
    pub roulette: PerBand<f64>,
    /// Still in flight at the end of the histograms.
    pub truncated: PerBand<f64>,
    /// Number of segments, all rays together.
    pub segments: u64,
    /// Number of free paths, from one hit to the next.
    pub free_paths: u64,
    /// Sum of their lengths, metres.
    pub free_paths_sum_m: f64,
    /// Sum of the squares of their lengths, square metres.
    pub free_paths_sum_m2: f64,
}

impl EnergyBalance {
    /// Emitted less everything accounted for, relative to what was emitted: a rounding error.
    pub fn imbalance(&self) -> PerBand<f64> {
        std::array::from_fn(|b| {
            let losses =
                self.absorbed[b] + self.air_absorbed[b] + self.roulette[b] + self.truncated[b];
            (self.emitted[b] - losses) / self.emitted[b].max(f64::MIN_POSITIVE)
        })
    }

    /// Mean free path, metres; `None` without any hits.
    pub fn mean_free_path_m(&self) -> Option<f64> {
        (self.free_paths > 0).then(|| self.free_paths_sum_m / self.free_paths as f64)
    }

    /// Variance of the free paths over the square of their mean; `None` without any.
    pub fn free_path_variance(&self) -> Option<f64> {
        let mean = self.mean_free_path_m()?;
        Some(self.free_paths_sum_m2 / self.free_paths as f64 / (mean * mean) - 1.0)
    }

    /// Multiplies every energy.
    pub(super) fn scale(&mut self, factor: f64) {
        let Self { emitted, absorbed, air_absorbed, roulette, truncated, .. } = self;
        for entry in [emitted, absorbed, air_absorbed, roulette, truncated] {
            for value in entry {
                *value *= factor;
            }
        }
    }
}

impl AddAssign<&EnergyBalance> for EnergyBalance {
    fn add_assign(&mut self, other: &Self) {
        for band in 0..BAND_COUNT {
            self.emitted[band] += other.emitted[band];
            self.absorbed[band] += other.absorbed[band];
            self.air_absorbed[band] += other.air_absorbed[band];
            self.roulette[band] += other.roulette[band];
            self.truncated[band] += other.truncated[band];
        }
        self.segments += other.segments;
        self.free_paths += other.free_paths;
        self.free_paths_sum_m += other.free_paths_sum_m;
        self.free_paths_sum_m2 += other.free_paths_sum_m2;
    }
}
