//! One ray of a room of mirrors: what need not be at hand from wall to wall.

use super::halvings::left_and_lost;
use super::skin::Row;
use super::stream::Stream;
use crate::medium::bands::BAND_COUNT;

/// A ray of the room: what is not needed from wall to wall.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ray {
    /// Whether there is one.
    pub(super) runs: bool,
    /// Energy when it was last settled.
    pub(super) energy: Row,
    /// Halvings a hit on the wall that it meets next across each axis (as of then), and on the other.
    pub(super) next: [Row; 3],
    pub(super) other: [Row; 3],
    /// Hits until then.
    pub(super) order: u32,
    /// Metres run until then, until its first hit, and until the present stretch began.
    pub(super) settled_m: f32,
    pub(super) first_m: f32,
    pub(super) run_m: f32,
    /// How far the first wall across each axis is from the speaker, metres.
    pub(super) first_wall_m: [f32; 3],
    pub(super) stream: Stream,
}

impl Ray {
    pub(super) const NONE: Self = Self {
        runs: false,
        energy: [0.0; BAND_COUNT],
        next: [[0.0; BAND_COUNT]; 3],
        other: [[0.0; BAND_COUNT]; 3],
        order: 0,
        settled_m: 0.0,
        first_m: 0.0,
        run_m: 0.0,
        first_wall_m: [0.0; 3],
        stream: Stream::NONE,
    };

    /// Halvings by the walls, after so many hits across each axis since it was last settled.
    #[inline(always)]
    pub(super) fn by_walls(&self, hits: [u32; 3]) -> Row {
        let mut sum = [0.0; BAND_COUNT];
        for axis in 0..3 {
            let (next, other) = (hits[axis].div_ceil(2) as f32, (hits[axis] / 2) as f32);
            for band in 0..BAND_COUNT {
                sum[band] += next * self.next[axis][band] + other * self.other[axis][band];
            }
        }
        sum
    }

    /// The first hits of a new ray one by one, at most so many.
    #[inline(always)]
    pub(super) fn first_hits(&self, air_per_m: &Row, periods_m: [f32; 3], most: u32) -> Begin {
        let mut begin = Begin { energy: self.energy, ..Begin::NONE };
        let mut wall_m = self.first_wall_m;
        for _ in 0..most.min(ONE_BY_ONE) {
            let axis = usize::from(wall_m[1] < wall_m[0]);
            let axis = if wall_m[2] < wall_m[axis] { 2 } else { axis };
            let flight_m = wall_m[axis] - begin.run_m;
            let (left, lost) = left_and_lost(air_per_m.map(|per_m| per_m * flight_m));
            let rows = if begin.hits[axis].is_multiple_of(2) { &self.next } else { &self.other };
            let (reflected, _) = left_and_lost(rows[axis]);
            for band in 0..BAND_COUNT {
                begin.by_air[band] += begin.energy[band] * lost[band];
                begin.energy[band] *= left[band] * reflected[band];
            }
            begin.run_m = wall_m[axis];
            begin.hits[axis] += 1;
            wall_m[axis] += periods_m[axis];
        }
        begin
    }
}

/// So many first hits are gone through one by one where the air takes its part: among walls that
/// absorb much, and unlike each other, little is left afterwards.
const ONE_BY_ONE: u32 = 16;

/// What became of a ray at its first hits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Begin {
    pub(super) energy: Row,
    /// What the air took.
    pub(super) by_air: Row,
    pub(super) hits: [u32; 3],
    pub(super) run_m: f32,
}

impl Begin {
    pub(super) const NONE: Self =
        Self { energy: [0.0; BAND_COUNT], by_air: [0.0; BAND_COUNT], hits: [0; 3], run_m: 0.0 };
}
