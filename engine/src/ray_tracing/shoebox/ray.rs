//! One ray of a room of mirrors: what need not be at hand from wall to wall.

use crate::medium::bands::BAND_COUNT;
use crate::ray_tracing::log2_attenuation::transmitted_and_absorbed;
use crate::ray_tracing::reflectance::BandVector;
use crate::ray_tracing::stream::Stream;

/// A ray of the room: what is not needed from wall to wall.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShoeboxRay {
    /// Whether there is one.
    pub(super) is_active: bool,
    /// Energy when it was last settled.
    pub(super) energy: BandVector,
    /// Halvings a hit on the wall that it meets next across each axis (as of then), and on the other.
    pub(super) next_wall: [BandVector; 3],
    pub(super) opposite_wall: [BandVector; 3],
    /// Hits until then.
    pub(super) order: u32,
    /// Metres run until then, until its first hit, and until the present stretch began.
    pub(super) evaluated_m: f32,
    pub(super) first_m: f32,
    pub(super) path_m: f32,
    /// How far the first wall across each axis is from the speaker, metres.
    pub(super) first_wall_m: [f32; 3],
    pub(super) stream: Stream,
}

impl ShoeboxRay {
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

    /// Halvings by the walls, after so many hits across each axis since it was last settled.
    #[inline(always)]
    pub(super) fn wall_attenuation(&self, hits: [u32; 3]) -> BandVector {
        let mut sum = [0.0; BAND_COUNT];
        for axis in 0..3 {
            let (next, other) = (hits[axis].div_ceil(2) as f32, (hits[axis] / 2) as f32);
            for band in 0..BAND_COUNT {
                sum[band] +=
                    next * self.next_wall[axis][band] + other * self.opposite_wall[axis][band];
            }
        }
        sum
    }

    /// The first hits of a new ray one by one, at most so many.
    #[inline(always)]
    pub(super) fn first_hits(
        &self,
        air_per_m: &BandVector,
        periods_m: [f32; 3],
        most: u32,
    ) -> FirstHits {
        let mut begin = FirstHits { energy: self.energy, ..FirstHits::NONE };
        let mut wall_m = self.first_wall_m;
        for _ in 0..most.min(MAX_EXPLICIT_HITS) {
            let axis = usize::from(wall_m[1] < wall_m[0]);
            let axis = if wall_m[2] < wall_m[axis] { 2 } else { axis };
            let flight_m = wall_m[axis] - begin.path_m;
            let (left, lost) = transmitted_and_absorbed(air_per_m.map(|per_m| per_m * flight_m));
            let rows = if begin.hits[axis].is_multiple_of(2) {
                &self.next_wall
            } else {
                &self.opposite_wall
            };
            let (reflected, _) = transmitted_and_absorbed(rows[axis]);
            for band in 0..BAND_COUNT {
                begin.by_air[band] += begin.energy[band] * lost[band];
                begin.energy[band] *= left[band] * reflected[band];
            }
            begin.path_m = wall_m[axis];
            begin.hits[axis] += 1;
            wall_m[axis] += periods_m[axis];
        }
        begin
    }
}

/// So many first hits are gone through one by one where the air takes its part: among walls that
/// absorb much, and unlike each other, little is left afterwards.
const MAX_EXPLICIT_HITS: u32 = 16;

/// What became of a ray at its first hits.
#[derive(Debug, Clone, Copy)]
pub(super) struct FirstHits {
    pub(super) energy: BandVector,
    /// What the air took.
    pub(super) by_air: BandVector,
    pub(super) hits: [u32; 3],
    pub(super) path_m: f32,
}

impl FirstHits {
    pub(super) const NONE: Self =
        Self { energy: [0.0; BAND_COUNT], by_air: [0.0; BAND_COUNT], hits: [0; 3], path_m: 0.0 };
}
