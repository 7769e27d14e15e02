//! What to trace: how many rays from which speaker, and what receivers score.

use crate::medium::directivity::Radiator;
use glam::DVec3;

/// Settings of a ray trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RayPlan {
    /// Number of rays.
    pub count: RayCount,
    /// Seed of the random numbers: the same seed gives the same bytes, on any machine and any number
    /// of threads.
    pub seed: u64,
    /// Length of the histograms from the direct sound on, seconds.
    pub length_s: f64,
    /// Width of a bin, seconds.
    pub bin_s: f64,
    /// Level below which a ray undergoes Russian roulette, relative to the energy it could have left
    /// with on axis, decibels, negative.
    pub floor_db: f64,
}

/// Number of rays from each speaker.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RayCount {
    /// So many, rounded up to a whole number for each replicate.
    Fixed(u64),
    /// As many as it takes for [`super::Histogram::relative_error`] to fall to a target, at most `cap`.
    Until {
        /// Target as a fraction.
        relative_error: f64,
        /// Most rays, whether the target is reached or not.
        cap: u64,
    },
}

/// Speaker that rays leave.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    /// Reference point, metres.
    pub at: DVec3,
    /// Unit vector along its axis.
    pub axis: DVec3,
    /// Its directivity.
    pub radiator: &'a Radiator,
}

/// Point where energy is scored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Receiver {
    /// Centre of the head, metres.
    pub at: DVec3,
    /// Path length of the direct sound, where the first bin begins, metres.
    pub direct_m: f64,
    /// Specular paths that the image-source list holds already.
    pub coverage: ImageCoverage,
}

/// Specular paths in the image-source list, which rays must not score again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImageCoverage {
    /// Paths of up to this order …
    pub max_order: u32,
    /// … and this length, metres;
    pub max_length_m: f64,
    /// and those of any order over the six surfaces, up to this length, metres.
    pub every_order_m: f64,
}

impl ImageCoverage {
    /// The direct sound alone.
    pub const DIRECT: Self = Self { max_order: 0, max_length_m: f64::INFINITY, every_order_m: 0.0 };
}
