//! From one hit to the next: the six walls by slab arithmetic, for a whole packet at once.

use super::packet::{Packet, WIDTH};

/// Finds the wall ahead of every ray: distance, surface and cosine of incidence. Surfaces are
/// numbered as in [`crate::scene::Surface::ALL`]: twice the axis, and one more for the far side.
#[inline(always)]
pub(super) fn find_walls(packet: &mut Packet, size: [f32; 3]) {
    let Packet { at, way, inverse, ahead_m, face, cos, .. } = packet;
    for i in 0..WIDTH {
        let wall = |axis: usize| if way[axis][i] > 0.0 { size[axis] } else { 0.0 };
        let reach = |axis: usize| (wall(axis) - at[axis][i]) * inverse[axis][i];
        let far = |axis: usize| u32::from(way[axis][i] > 0.0);
        let (x, y, z) = (reach(0), reach(1), reach(2));
        let (mut nearest, mut surface, mut across) = (x, far(0), way[0][i]);
        let y_first = y < nearest;
        nearest = if y_first { y } else { nearest };
        surface = if y_first { 2 + far(1) } else { surface };
        across = if y_first { way[1][i] } else { across };
        let z_first = z < nearest;
        ahead_m[i] = if z_first { z } else { nearest };
        face[i] = if z_first { 4 + far(2) } else { surface };
        across = if z_first { way[2][i] } else { across };
        cos[i] = across.abs().min(1.0);
    }
}

/// Moves every ray to its hit; on a wall it lands exactly on it and is mirrored.
#[inline(always)]
pub(super) fn move_on(packet: &mut Packet, size: [f32; 3]) {
    let Packet { at, way, inverse, run_m, ahead_m, face, .. } = packet;
    for i in 0..WIDTH {
        run_m[i] += ahead_m[i];
    }
    for axis in 0..3 {
        let (at, way, inverse) = (&mut at[axis], &mut way[axis], &mut inverse[axis]);
        for i in 0..WIDTH {
            let moved = at[i] + way[i] * ahead_m[i];
            let hit = face[i] / 2 == axis as u32;
            let wall = if way[i] > 0.0 { size[axis] } else { 0.0 };
            // Rounding must not carry a ray out of the room.
            at[i] = if hit { wall } else { moved.clamp(0.0, size[axis]) };
            way[i] = if hit { -way[i] } else { way[i] };
            inverse[i] = if hit { -inverse[i] } else { inverse[i] };
        }
    }
}
