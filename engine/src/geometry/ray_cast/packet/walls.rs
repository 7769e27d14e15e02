//! Intersection of ray packets with the six surfaces of the room, by slabs.

use super::ray_packet::{RayPacket, WIDTH};

/// Hits on the surfaces of a room of a given size: the exits of rays from its box. Surfaces are
/// numbered as in [`crate::scene::Surface::ALL`]: twice the axis, and one more for the far side.
#[inline(always)]
pub(super) fn intersect_walls(rays: &mut RayPacket, size: [f32; 3]) {
    let RayPacket { origin, dir, inv_dir, hit_t, face, cos, .. } = rays;
    for i in 0..WIDTH {
        let wall = |axis: usize| if dir[axis][i] > 0.0 { size[axis] } else { 0.0 };
        let exit_t = |axis: usize| (wall(axis) - origin[axis][i]) * inv_dir[axis][i];
        let far = |axis: usize| u32::from(dir[axis][i] > 0.0);
        let (x, y, z) = (exit_t(0), exit_t(1), exit_t(2));
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
