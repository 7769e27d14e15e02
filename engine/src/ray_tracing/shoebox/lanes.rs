//! Rays side by side from wall to wall.
//!
//! Unfolded at every wall a ray is straight (image sources), and crosses the images of the walls across
//! each axis at even distances: a room's length over the component of its direction. From wall to wall
//! there is nothing to do but to take the nearest of three numbers and to put the next one in its
//! place.

/// Rays traced together: two vectors of eight, so that one can be worked on while the other waits.
pub(super) const LANES: usize = 16;

/// One number for each ray.
pub(super) type Lanes = [f32; LANES];

/// Rays between walls. All distances count along each ray from its hit at the last rebase.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShoeboxLanes {
    /// Distance of the next wall across each axis, metres.
    pub(super) wall_m: [Lanes; 3],
    /// Distance between walls across each axis along the ray, metres.
    pub(super) period_m: [Lanes; 3],
    /// Hits across each axis.
    pub(super) hits: [[u32; LANES]; 3],
    /// Distance of the last hit, metres.
    pub(super) last_m: Lanes,
    /// Distance from which on the ray stops at the first hit, metres.
    pub(super) end_m: Lanes,
    /// Sum of the squares of the free paths, square metres.
    pub(super) squares_m2: Lanes,
}

/// Crossings of the planes through a receiver across each axis, metres along each ray: on the present
/// segment or its straight continuation.
pub(super) type ReceiverPlanes = [Lanes; 3];

/// Closest approach of the present segments to a receiver.
#[derive(Debug, Clone, Copy)]
pub(super) struct ReceiverCrossing {
    /// Distance along the ray, metres.
    pub(super) closest_m: Lanes,
    /// Square of half of the chord through the receiver sphere, square metres; not above zero where a
    /// segment misses it.
    pub(super) half_chord2: Lanes,
    /// Hits before, across each axis.
    pub(super) hits: [[u32; LANES]; 3],
}

impl ShoeboxLanes {
    /// Lanes without rays.
    pub(super) const IDLE: Self = Self {
        wall_m: [[1.0; LANES]; 3],
        period_m: [[1.0; LANES]; 3],
        hits: [[0; LANES]; 3],
        last_m: [0.0; LANES],
        end_m: [0.0; LANES],
        squares_m2: [0.0; LANES],
    };

    /// State so many hits later.
    #[inline(always)]
    pub(super) fn advance(mut self, hits: usize) -> Self {
        for _ in 0..hits {
            for i in 0..LANES {
                self.advance_lane(i, self.next_m(i));
            }
        }
        self
    }

    /// Advances all rays to their next hit, and the planes of a receiver with them; the crossings of its
    /// sphere on the way there, if there are any. `weight` is the square of each component of the
    /// direction.
    #[inline(always)]
    pub(super) fn cross(
        &mut self,
        weight: &[Lanes; 3],
        plane_m: &mut ReceiverPlanes,
        radius2: f32,
    ) -> Option<ReceiverCrossing> {
        let hits = self.hits;
        let (mut closest_m, mut half_chord2) = ([0.0; LANES], [0.0; LANES]);
        let mut crossings = 0;
        // One loop for all: the compiler makes vectors of its rays, and keeps them in registers.
        for i in 0..LANES {
            let next_m = self.next_m(i);
            let (x, y, z) = (plane_m[0][i], plane_m[1][i], plane_m[2][i]);
            let (wx, wy, wz) = (weight[0][i], weight[1][i], weight[2][i]);
            let closest = wx * x + wy * y + wz * z;
            let is_ahead = (closest > self.last_m[i]) & (closest < next_m);
            plane_m[0][i] = mirrored(x, self.wall_m[0][i], next_m);
            plane_m[1][i] = mirrored(y, self.wall_m[1][i], next_m);
            plane_m[2][i] = mirrored(z, self.wall_m[2][i], next_m);
            self.advance_lane(i, next_m);
            let (x, y, z) = (closest - x, closest - y, closest - z);
            let inside2 = radius2 - (wx * x * x + wy * y * y + wz * z * z);
            closest_m[i] = closest;
            half_chord2[i] = zero_unless(is_ahead, inside2);
            crossings |= u32::from(is_ahead & (inside2 > 0.0));
        }
        (crossings != 0).then_some(ReceiverCrossing { closest_m, half_chord2, hits })
    }

    /// Distance of the next hit of a ray; of the last one where it has come to its end.
    #[inline(always)]
    fn next_m(&self, i: usize) -> f32 {
        let (x, y, z) = (self.wall_m[0][i], self.wall_m[1][i], self.wall_m[2][i]);
        let nearer = if x < y { x } else { y };
        let nearest = if z < nearer { z } else { nearer };
        let last_m = self.last_m[i];
        let next_m = zero_unless(last_m < self.end_m[i], nearest);
        if next_m > last_m { next_m } else { last_m }
    }

    /// Takes a ray through its next hit.
    #[inline(always)]
    fn advance_lane(&mut self, i: usize, next_m: f32) {
        let x_hit = self.wall_m[0][i] <= next_m;
        let y_hit = self.wall_m[1][i] <= next_m;
        let z_hit = self.wall_m[2][i] <= next_m;
        self.wall_m[0][i] += zero_unless(x_hit, self.period_m[0][i]);
        self.wall_m[1][i] += zero_unless(y_hit, self.period_m[1][i]);
        self.wall_m[2][i] += zero_unless(z_hit, self.period_m[2][i]);
        self.hits[0][i] += u32::from(x_hit);
        self.hits[1][i] += u32::from(y_hit);
        self.hits[2][i] += u32::from(z_hit);
        let segment_m = next_m - self.last_m[i];
        self.squares_m2[i] += segment_m * segment_m;
        self.last_m[i] = next_m;
    }
}

/// A plane mirrored at a wall that is hit.
#[inline(always)]
fn mirrored(plane_m: f32, wall_m: f32, next_m: f32) -> f32 {
    let ahead_m = wall_m - plane_m;
    plane_m + zero_unless(wall_m <= next_m, ahead_m + ahead_m)
}

/// A number, or zero. Its bits are masked by arithmetic, so that no branch comes of it.
#[inline(always)]
fn zero_unless(condition: bool, number: f32) -> f32 {
    f32::from_bits(number.to_bits() & u32::from(condition).wrapping_neg())
}
