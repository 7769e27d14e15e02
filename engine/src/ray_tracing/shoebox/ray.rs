//! One ray of the shoebox: what is not needed from wall to wall.

use crate::medium::bands::BAND_COUNT;
use crate::numerics::stream::Stream;
use crate::ray_tracing::band_vector::BandVector;
use crate::ray_tracing::log2_attenuation::transmitted_and_absorbed;

/// State of a ray at its last evaluation, when its energy was worked out.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShoeboxRay {
    /// Whether the lane holds a ray.
    pub(super) is_active: bool,
    pub(super) energy: BandVector,
    /// Attenuation of a hit on the wall across each axis that is hit next, and on the one opposite.
    pub(super) next_wall: [BandVector; 3],
    pub(super) opposite_wall: [BandVector; 3],
    /// Hits so far.
    pub(super) order: u32,
    /// Path length, metres.
    pub(super) evaluated_m: f32,
    /// Path length to the first hit, metres.
    pub(super) first_m: f32,
    /// Path length to the origin of the distances in its lane, metres.
    pub(super) path_m: f32,
    /// Distance of the first wall across each axis from the speaker, metres.
    pub(super) first_wall_m: [f32; 3],
    pub(super) stream: Stream,
}

impl ShoeboxRay {
    /// Empty lane.
    pub(super) const NONE: Self = Self {
        is_active: false,
        energy: [0.0; BAND_COUNT],
        next_wall: [[0.0; BAND_COUNT]; 3],
        opposite_wall: [[0.0; BAND_COUNT]; 3],
        order: 0,
        evaluated_m: 0.0,
        first_m: 0.0,
        path_m: 0.0,
        first_wall_m: [0.0; 3],
        stream: Stream::NONE,
    };

    /// Attenuation by the walls, after so many hits across each axis since the last evaluation.
    #[inline(always)]
    pub(super) fn wall_attenuation(&self, hits: [u32; 3]) -> BandVector {
        let mut sum = [0.0; BAND_COUNT];
        for axis in 0..3 {
            let (next, opposite) = (hits[axis].div_ceil(2) as f32, (hits[axis] / 2) as f32);
            for band in 0..BAND_COUNT {
                sum[band] +=
                    next * self.next_wall[axis][band] + opposite * self.opposite_wall[axis][band];
            }
        }
        sum
    }

    /// Traces the first hits of a new ray one by one, at most `max_hits` of them.
    #[inline(always)]
    pub(super) fn first_hits(
        &self,
        air_per_m: &BandVector,
        periods_m: [f32; 3],
        max_hits: u32,
    ) -> FirstHits {
        let mut first = FirstHits { energy: self.energy, ..FirstHits::NONE };
        let mut wall_m = self.first_wall_m;
        for _ in 0..max_hits.min(MAX_EXPLICIT_HITS) {
            let axis = usize::from(wall_m[1] < wall_m[0]);
            let axis = if wall_m[2] < wall_m[axis] { 2 } else { axis };
            let segment_m = wall_m[axis] - first.path_m;
            let (transmitted, absorbed) =
                transmitted_and_absorbed(air_per_m.map(|per_m| per_m * segment_m));
            let walls = if first.hits[axis].is_multiple_of(2) {
                &self.next_wall
            } else {
                &self.opposite_wall
            };
            let (reflected, _) = transmitted_and_absorbed(walls[axis]);
            for band in 0..BAND_COUNT {
                first.air_absorbed[band] += first.energy[band] * absorbed[band];
                first.energy[band] *= transmitted[band] * reflected[band];
            }
            first.path_m = wall_m[axis];
            first.hits[axis] += 1;
            wall_m[axis] += periods_m[axis];
        }
        first
    }
}

/// Hits traced one by one where the air absorbs: among walls that absorb much, and unlike each other,
/// little energy remains afterwards.
const MAX_EXPLICIT_HITS: u32 = 16;

/// State of a ray after its first hits.
#[derive(Debug, Clone, Copy)]
pub(super) struct FirstHits {
    pub(super) energy: BandVector,
    /// Energy absorbed by the air.
    pub(super) air_absorbed: BandVector,
    /// Across each axis.
    pub(super) hits: [u32; 3],
    /// Path length, metres.
    pub(super) path_m: f32,
}

impl FirstHits {
    /// No hits, no energy.
    pub(super) const NONE: Self = Self {
        energy: [0.0; BAND_COUNT],
        air_absorbed: [0.0; BAND_COUNT],
        hits: [0; 3],
        path_m: 0.0,
    };
}
