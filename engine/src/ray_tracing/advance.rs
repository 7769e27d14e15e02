//! Advance of a packet to its hits.

use super::path_packet::PathPacket;
use crate::geometry::ray_cast::packet::{RayColumn, RayPacket, WIDTH};

/// Number, sum and sum of squares of free paths, from one hit to the next.
#[derive(Debug, Clone, Copy)]
pub(super) struct FreePaths {
    pub(super) count: u64,
    pub(super) sum_m: f64,
    pub(super) sum_m2: f64,
}

/// Moves every ray to its hit; on a wall it lands exactly and is reflected. Segments from the speaker
/// are no free paths.
#[inline(always)]
pub(super) fn advance_to_hits(packet: &mut PathPacket, size: [f32; 3]) -> FreePaths {
    let live = packet.rays.live as u32;
    let PathPacket { rays, path_m, order, .. } = packet;
    let RayPacket { origin, dir, inv_dir, hit_t, face, .. } = rays;
    let (mut count, mut free_m, mut squares_m2) = (0, [0.0; WIDTH], [0.0; WIDTH]);
    for i in 0..WIDTH {
        let segment_m = hit_t[i];
        let axis = face[i] / 2;
        path_m[i] += segment_m;
        order[i] += 1;
        let is_free = (order[i] > 1) & ((i as u32) < live);
        let counted_m = if is_free { segment_m } else { 0.0 };
        count += u32::from(is_free);
        free_m[i] = counted_m;
        squares_m2[i] = counted_m * counted_m;
        let (x, y, z) = (axis == 0, axis == 1, axis == 2);
        origin[0][i] = hit_position(origin[0][i], dir[0][i], segment_m, size[0], x);
        origin[1][i] = hit_position(origin[1][i], dir[1][i], segment_m, size[1], y);
        origin[2][i] = hit_position(origin[2][i], dir[2][i], segment_m, size[2], z);
        (dir[0][i], inv_dir[0][i]) = (negated_if(dir[0][i], x), negated_if(inv_dir[0][i], x));
        (dir[1][i], inv_dir[1][i]) = (negated_if(dir[1][i], y), negated_if(inv_dir[1][i], y));
        (dir[2][i], inv_dir[2][i]) = (negated_if(dir[2][i], z), negated_if(inv_dir[2][i], z));
    }
    FreePaths { count: count.into(), sum_m: sum(&free_m), sum_m2: sum(&squares_m2) }
}

/// Coordinate of a hit: exactly that of the wall, or between the walls, out of which rounding must not
/// carry a ray.
#[inline(always)]
fn hit_position(origin: f32, dir: f32, segment_m: f32, size: f32, hits_wall: bool) -> f32 {
    let wall = if dir > 0.0 { size } else { 0.0 };
    let moved = origin + dir * segment_m;
    let moved = if moved > 0.0 { moved } else { 0.0 };
    let moved = if moved < size { moved } else { size };
    if hits_wall { wall } else { moved }
}

/// A component with its sign changed, or as it is. The sign bit is flipped by arithmetic: of a choice
/// between old and new the compiler makes a store under a mask, which takes a dozen cycles.
#[inline(always)]
fn negated_if(component: f32, negate: bool) -> f32 {
    f32::from_bits(component.to_bits() ^ (u32::from(negate) << 31))
}

/// Sum in eight parts, as a vector adds.
#[inline(always)]
fn sum(column: &RayColumn<f32>) -> f64 {
    let mut parts = [0f32; 8];
    for eight in column.chunks_exact(8) {
        for (part, x) in parts.iter_mut().zip(eight) {
            *part += x;
        }
    }
    parts.into_iter().map(f64::from).sum()
}
