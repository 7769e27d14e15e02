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
pub struct Ledger {
    /// Sent out by the speaker.
    pub emitted: PerBand<f64>,
    /// Absorbed by surfaces, panels, screens and furniture.
    pub absorbed: PerBand<f64>,
    /// Carried off by the air.
    pub air: PerBand<f64>,
    /// Taken (or, negative, given) by draws of chance: where rays below the floor are retired or
    /// strengthened, and where one draw decides the direction for all bands. Nought on average.
    pub drawn: PerBand<f64>,
    /// Still on its way when the trace ended.
    pub alive: PerBand<f64>,
    /// Segments followed, all rays together.
    pub segments: u64,
    /// Flights from one hit to the next.
    pub flights: u64,
    /// Their lengths added up, metres.
    pub flights_m: f64,
    /// The squares of their lengths added up, square metres.
    pub flights_m2: f64,
}

impl Ledger {
    /// Emitted less everything accounted for, relative to what was emitted: a rounding error.
    pub fn imbalance(&self) -> PerBand<f64> {
        std::array::from_fn(|b| {
            let spent = self.absorbed[b] + self.air[b] + self.drawn[b] + self.alive[b];
            (self.emitted[b] - spent) / self.emitted[b].max(f64::MIN_POSITIVE)
        })
    }

    /// Mean length of a flight from one hit to the next, metres; `None` without any.
    pub fn mean_free_path_m(&self) -> Option<f64> {
        (self.flights > 0).then(|| self.flights_m / self.flights as f64)
    }

    /// Variance of that length over the square of its mean; `None` without any.
    pub fn free_path_variance(&self) -> Option<f64> {
        let mean = self.mean_free_path_m()?;
        Some(self.flights_m2 / self.flights as f64 / (mean * mean) - 1.0)
    }

    /// Multiplies every energy.
    pub(super) fn scale(&mut self, factor: f64) {
        let Self { emitted, absorbed, air, drawn, alive, .. } = self;
        for entry in [emitted, absorbed, air, drawn, alive] {
            for value in entry {
                *value *= factor;
            }
        }
    }
}

impl AddAssign<&Ledger> for Ledger {
    fn add_assign(&mut self, other: &Self) {
        for band in 0..BAND_COUNT {
            self.emitted[band] += other.emitted[band];
            self.absorbed[band] += other.absorbed[band];
            self.air[band] += other.air[band];
            self.drawn[band] += other.drawn[band];
            self.alive[band] += other.alive[band];
        }
        self.segments += other.segments;
        self.flights += other.flights;
        self.flights_m += other.flights_m;
        self.flights_m2 += other.flights_m2;
    }
}
