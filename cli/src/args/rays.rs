//! How many rays are followed.

use super::number::{number, whole};
use clap::Args;
use earline_engine::ray_tracing::RayCount;
use earline_engine::simulate::{RayRequest, defaults};

/// How many rays are followed for the decay.
#[derive(Debug, Clone, Args)]
pub(crate) struct Rays {
    /// Follow this many rays from each speaker for the decay; 0 leaves it out.
    #[arg(long = "rays", id = "rays", value_name = "N", default_value_t = defaults::RAYS)]
    #[arg(value_parser = whole(0..=MOST), allow_hyphen_values = true)]
    pub(crate) number: u64,
    /// Follow as many rays as it takes for the energy, in steps of 10 ms, to be known to this share of
    /// itself (0.1 is 0.4 dB); at most 4 million.
    #[arg(long, value_name = "SHARE", conflicts_with = "rays", allow_hyphen_values = true)]
    #[arg(value_parser = number("a share", 0.01..=1.0))]
    pub(crate) until: Option<f64>,
    /// Follow the decay and the energy-time curve down to this many decibels, -20 to -100.
    #[arg(long = "floor", value_name = "DB", default_value_t = defaults::FLOOR_DB)]
    #[arg(value_parser = number("decibels", -100.0..=-20.0), allow_hyphen_values = true)]
    pub(crate) floor_db: f64,
    /// Begin the random numbers here; the same number gives the same answer.
    #[arg(long, value_name = "N", default_value_t = defaults::SEED)]
    #[arg(value_parser = whole(0..=u64::MAX), allow_hyphen_values = true)]
    pub(crate) seed: u64,
}

/// The most rays that can be asked for.
const MOST: u64 = 100_000_000;

impl Rays {
    /// Rays of a simulation; `None` where there shall be none.
    pub(crate) fn request(&self) -> Option<RayRequest> {
        let Self { seed, floor_db, .. } = *self;
        self.count().map(|count| RayRequest { count, seed, floor_db })
    }

    /// How many; `None` where there shall be no rays.
    pub(crate) fn count(&self) -> Option<RayCount> {
        match self.until {
            Some(relative_error) => {
                Some(RayCount::Until { relative_error, cap: defaults::MAX_RAYS })
            }
            None => (self.number > 0).then_some(RayCount::Fixed(self.number)),
        }
    }
}
