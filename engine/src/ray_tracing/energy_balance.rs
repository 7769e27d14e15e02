//! Where the energy of all rays went.

use crate::medium::bands::{BAND_COUNT, PerBand};
use std::ops::AddAssign;

/// The account of energy, per band, in shares of what an omnidirectional speaker of the same level
/// on axis would send out.
///
/// Emitted = absorbed + carried off by air + drawn + alive, exactly but for rounding. In a room of six
/// mirrors and nothing else the division between absorbed and air is a close estimate; see
/// `docs/theory.md`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EnergyBalance {
    /// Sent out by the speaker.
    pub emitted: PerBand<f64>,
    /// Absorbed by surfaces, panels, screens and furniture.
    pub absorbed: PerBand<f64>,
    /// Carried off by the air.
    pub air_absorbed: PerBand<f64>,
    /// Taken (or, negative, given) by draws of chance: where rays below the floor are retired or
    /// strengthened, and where one draw decides the direction for all bands. Nought on average.
    pub roulette: PerBand<f64>,
    /// Still on its way when the trace ended.
    pub truncated: PerBand<f64>,
    /// Segments followed, all rays together.
    pub segments: u64,
    /// FreePaths from one hit to the next.
    pub free_paths: u64,
    /// Their lengths added up, metres.
    pub free_paths_sum_m: f64,
    /// The squares of their lengths added up, square metres.
    pub free_paths_sum_m2: f64,
}

impl EnergyBalance {
    /// Emitted less everything accounted for, relative to what was emitted: a rounding error.
    pub fn imbalance(&self) -> PerBand<f64> {
        std::array::from_fn(|b| {
            let spent =
                self.absorbed[b] + self.air_absorbed[b] + self.roulette[b] + self.truncated[b];
            (self.emitted[b] - spent) / self.emitted[b].max(f64::MIN_POSITIVE)
        })
    }

    /// Mean length of a flight from one hit to the next, metres; `None` without any.
    pub fn mean_free_path_m(&self) -> Option<f64> {
        (self.free_paths > 0).then(|| self.free_paths_sum_m / self.free_paths as f64)
    }

    /// Variance of that length over the square of its mean; `None` without any.
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
