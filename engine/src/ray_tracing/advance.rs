//! From one hit to the next: the six walls by slab arithmetic, for a whole packet at once.

use super::path_packet::{Column, PathPacket, WIDTH};

/// Finds the wall ahead of every ray: distance, surface and cosine of incidence. Surfaces are
/// numbered as in [`crate::scene::Surface::ALL`]: twice the axis, and one more for the far side.
#[inline(always)]
pub(super) fn intersect_walls(packet: &mut PathPacket, size: [f32; 3]) {
    let PathPacket { origin, dir, inv_dir, hit_t, face, cos, .. } = packet;
    for i in 0..WIDTH {
        let wall = |axis: usize| if dir[axis][i] > 0.0 { size[axis] } else { 0.0 };
        let reach = |axis: usize| (wall(axis) - origin[axis][i]) * inv_dir[axis][i];
        let far = |axis: usize| u32::from(dir[axis][i] > 0.0);
        let (x, y, z) = (reach(0), reach(1), reach(2));
        let (mut nearest, mut surface, mut across) = (x, far(0), dir[0][i]);
        let y_first = y < nearest;
        nearest = if y_first { y } else { nearest };
        surface = if y_first { 2 + far(1) } else { surface };
        across = if y_first { dir[1][i] } else { across };
        let z_first = z < nearest;
        hit_t[i] = if z_first { z } else { nearest };
        face[i] = if z_first { 4 + far(2) } else { surface };
        across = if z_first { dir[2][i] } else { across };
        cos[i] = if across.abs() < 1.0 { across.abs() } else { 1.0 };
    }
}

/// Number, sum and sum of squares of flights from one hit to the next.
#[derive(Debug, Clone, Copy)]
pub(super) struct FreePaths {
    pub(super) count: u64,
    pub(super) sum_m: f64,
    pub(super) sum_m2: f64,
}

/// Moves every ray to its hit; on a wall it lands exactly on it and is mirrored. The flights that
/// just ended are counted, but for those that began at the speaker and not at a hit.
#[inline(always)]
pub(super) fn advance_to_hits(packet: &mut PathPacket, size: [f32; 3]) -> FreePaths {
    let live = packet.live as u32;
    let PathPacket { origin, dir, inv_dir, path_m, hit_t, face, order, .. } = packet;
    let (mut count, mut flights_m, mut squares) = (0, [0.0; WIDTH], [0.0; WIDTH]);
    for i in 0..WIDTH {
        let flight_m = hit_t[i];
        let axis = face[i] / 2;
        path_m[i] += flight_m;
        order[i] += 1;
        let counts = (order[i] > 1) & ((i as u32) < live);
        let counted_m = if counts { flight_m } else { 0.0 };
        count += u32::from(counts);
        flights_m[i] = counted_m;
        squares[i] = counted_m * counted_m;
        let (x, y, z) = (axis == 0, axis == 1, axis == 2);
        origin[0][i] = hit_position(origin[0][i], dir[0][i], flight_m, size[0], x);
        origin[1][i] = hit_position(origin[1][i], dir[1][i], flight_m, size[1], y);
        origin[2][i] = hit_position(origin[2][i], dir[2][i], flight_m, size[2], z);
        (dir[0][i], inv_dir[0][i]) = (flipped_if(dir[0][i], x), flipped_if(inv_dir[0][i], x));
        (dir[1][i], inv_dir[1][i]) = (flipped_if(dir[1][i], y), flipped_if(inv_dir[1][i], y));
        (dir[2][i], inv_dir[2][i]) = (flipped_if(dir[2][i], z), flipped_if(inv_dir[2][i], z));
    }
    FreePaths { count: count.into(), sum_m: sum(&flights_m), sum_m2: sum(&squares) }
}

/// Where a ray is after a flight, on one axis: exactly on the wall it hits, or in the room between
/// the walls, out of which rounding must not carry it.
#[inline(always)]
fn hit_position(origin: f32, dir: f32, flight_m: f32, size: f32, hits: bool) -> f32 {
    let wall = if dir > 0.0 { size } else { 0.0 };
    let moved = origin + dir * flight_m;
    let moved = if moved > 0.0 { moved } else { 0.0 };
    let moved = if moved < size { moved } else { size };
    if hits { wall } else { moved }
}

/// A component with its sign changed, or as it is. The sign bit is flipped by arithmetic: of a choice
/// between old and new the compiler makes a store under a mask, which takes a dozen cycles.
#[inline(always)]
fn flipped_if(component: f32, flips: bool) -> f32 {
    f32::from_bits(component.to_bits() ^ (u32::from(flips) << 31))
}

/// A sum in eight parts, as a vector adds.
#[inline(always)]
fn sum(column: &Column<f32>) -> f64 {
    let mut parts = [0f32; 8];
    for eight in column.chunks_exact(8) {
        for (part, x) in parts.iter_mut().zip(eight) {
            *part += x;
        }
    }
    parts.into_iter().map(f64::from).sum()
}
