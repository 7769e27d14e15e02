//! From one hit to the next: the six walls by slab arithmetic, for a whole packet at once.

use super::packet::{Column, Packet, WIDTH};

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
        cos[i] = if across.abs() < 1.0 { across.abs() } else { 1.0 };
    }
}

/// Moves every ray to its hit; on a wall it lands exactly on it and is mirrored.
#[inline(always)]
pub(super) fn move_on(packet: &mut Packet, size: [f32; 3]) {
    let Packet { at, way, inverse, run_m, ahead_m, face, order, .. } = packet;
    for i in 0..WIDTH {
        run_m[i] += ahead_m[i];
        order[i] += 1;
    }
    for axis in 0..3 {
        let (at, way, inverse) = (&mut at[axis], &mut way[axis], &mut inverse[axis]);
        for i in 0..WIDTH {
            let moved = at[i] + way[i] * ahead_m[i];
            let hit = face[i] / 2 == axis as u32;
            let wall = if way[i] > 0.0 { size[axis] } else { 0.0 };
            // Rounding must not carry a ray out of the room.
            let moved = if moved > 0.0 { moved } else { 0.0 };
            let moved = if moved < size[axis] { moved } else { size[axis] };
            at[i] = if hit { wall } else { moved };
            way[i] = if hit { -way[i] } else { way[i] };
            inverse[i] = if hit { -inverse[i] } else { inverse[i] };
        }
    }
}

/// Number, sum and sum of squares of the flights from one hit to the next that just ended.
#[inline(always)]
pub(super) fn flights(packet: &Packet) -> (u64, f64, f64) {
    let (mut count, mut flights_m, mut squares) = (0, [0.0; WIDTH], [0.0; WIDTH]);
    for i in 0..WIDTH {
        // The first flight begins at the speaker, not at a hit.
        let counts = (packet.order[i] > 1) & ((i as u32) < packet.live as u32);
        let flight_m = if counts { packet.ahead_m[i] } else { 0.0 };
        count += u32::from(counts);
        flights_m[i] = flight_m;
        squares[i] = flight_m * flight_m;
    }
    (count.into(), sum(&flights_m), sum(&squares))
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
