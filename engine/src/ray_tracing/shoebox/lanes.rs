//! Where rays run among six mirrors, many rays side by side.
//!
//! Unfolded at every mirror a ray runs straight on (image sources), and meets the walls across each
//! axis at even distances: a room's length over the component of its direction. From wall to wall there
//! is nothing to do but to take the nearest of three numbers and to put the next one in its place.

/// Rays looked at together. Two vectors of eight, so that one can be worked on while the other waits.
pub(super) const LANES: usize = 16;

/// One number for each ray.
pub(super) type Lanes = [f32; LANES];

/// Rays on their way, each from its last hit on: all distances are counted along it from where the
/// stretch began.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShoeboxLanes {
    /// How far away the next wall across each axis is, metres.
    pub(super) wall_m: [Lanes; 3],
    /// How far apart walls across each axis are along the ray, metres.
    pub(super) period_m: [Lanes; 3],
    /// Walls met across each axis.
    pub(super) hits: [[u32; LANES]; 3],
    /// Where the last hit was, metres.
    pub(super) last_m: Lanes,
    /// The ray stops at the first hit from here on, metres.
    pub(super) end_m: Lanes,
    /// Squares of the flights of this stretch added up, square metres.
    pub(super) squares_m2: Lanes,
}

/// Where rays cross the planes through a listener across each axis, metres along each ray; within the
/// present flight, or where that would cross them if it went on.
pub(super) type ReceiverPlanes = [Lanes; 3];

/// How rays pass a listener on their present flights.
#[derive(Debug, Clone, Copy)]
pub(super) struct ReceiverCrossing {
    /// How far along the ray it comes closest, metres.
    pub(super) closest_m: Lanes,
    /// Square of half of the chord through the ball about the listener, square metres; not above
    /// nought where a flight misses it.
    pub(super) half_chord2: Lanes,
    /// Walls met before, across each axis.
    pub(super) hits: [[u32; LANES]; 3],
}

impl ShoeboxLanes {
    /// Rays that do not run.
    pub(super) const IDLE: Self = Self {
        wall_m: [[1.0; LANES]; 3],
        period_m: [[1.0; LANES]; 3],
        hits: [[0; LANES]; 3],
        last_m: [0.0; LANES],
        end_m: [0.0; LANES],
        squares_m2: [0.0; LANES],
    };

    /// Runs so many hits on.
    #[inline(always)]
    pub(super) fn advance(mut self, hits: usize) -> Self {
        for _ in 0..hits {
            for i in 0..LANES {
                self.advance_lane(i, self.next_m(i));
            }
        }
        self
    }

    /// One hit on, past a listener whose planes go along; how rays pass on the flights to that hit, if
    /// any comes through the ball about it. `weight` is the square of each component of the direction.
    #[inline(always)]
    pub(super) fn pass(
        &mut self,
        weight: &[Lanes; 3],
        plane_m: &mut ReceiverPlanes,
        radius2: f32,
    ) -> Option<ReceiverCrossing> {
        let hits = self.hits;
        let (mut closest_m, mut half_chord2) = ([0.0; LANES], [0.0; LANES]);
        let mut passes = 0;
        // One loop for all: the compiler makes vectors of its rays, and keeps them in registers.
        for i in 0..LANES {
            let next_m = self.next_m(i);
            let (x, y, z) = (plane_m[0][i], plane_m[1][i], plane_m[2][i]);
            let (wx, wy, wz) = (weight[0][i], weight[1][i], weight[2][i]);
            let closest = wx * x + wy * y + wz * z;
            let ahead = (closest > self.last_m[i]) & (closest < next_m);
            plane_m[0][i] = mirrored(x, self.wall_m[0][i], next_m);
            plane_m[1][i] = mirrored(y, self.wall_m[1][i], next_m);
            plane_m[2][i] = mirrored(z, self.wall_m[2][i], next_m);
            self.advance_lane(i, next_m);
            let (x, y, z) = (closest - x, closest - y, closest - z);
            let inside2 = radius2 - (wx * x * x + wy * y * y + wz * z * z);
            closest_m[i] = closest;
            half_chord2[i] = only_if(ahead, inside2);
            passes |= u32::from(ahead & (inside2 > 0.0));
        }
        (passes != 0).then_some(ReceiverCrossing { closest_m, half_chord2, hits })
    }

    /// How far away a ray's next hit is; the last one where it has come to its end.
    #[inline(always)]
    fn next_m(&self, i: usize) -> f32 {
        let (x, y, z) = (self.wall_m[0][i], self.wall_m[1][i], self.wall_m[2][i]);
        let nearer = if x < y { x } else { y };
        let nearest = if z < nearer { z } else { nearer };
        let last_m = self.last_m[i];
        let next_m = only_if(last_m < self.end_m[i], nearest);
        if next_m > last_m { next_m } else { last_m }
    }

    /// Takes a ray over its next hit.
    #[inline(always)]
    fn advance_lane(&mut self, i: usize, next_m: f32) {
        let x_hit = self.wall_m[0][i] <= next_m;
        let y_hit = self.wall_m[1][i] <= next_m;
        let z_hit = self.wall_m[2][i] <= next_m;
        self.wall_m[0][i] += only_if(x_hit, self.period_m[0][i]);
        self.wall_m[1][i] += only_if(y_hit, self.period_m[1][i]);
        self.wall_m[2][i] += only_if(z_hit, self.period_m[2][i]);
        self.hits[0][i] += u32::from(x_hit);
        self.hits[1][i] += u32::from(y_hit);
        self.hits[2][i] += u32::from(z_hit);
        let flight_m = next_m - self.last_m[i];
        self.squares_m2[i] += flight_m * flight_m;
        self.last_m[i] = next_m;
    }
}

/// A plane mirrored at a wall that is hit.
#[inline(always)]
fn mirrored(plane_m: f32, wall_m: f32, next_m: f32) -> f32 {
    let on = wall_m - plane_m;
    plane_m + only_if(wall_m <= next_m, on + on)
}

/// A number, or nought. Its bits are taken away by arithmetic, so that no branch comes of it.
#[inline(always)]
fn only_if(condition: bool, number: f32) -> f32 {
    f32::from_bits(number.to_bits() & u32::from(condition).wrapping_neg())
}
