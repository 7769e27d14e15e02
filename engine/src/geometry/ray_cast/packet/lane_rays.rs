//! As many rays as a vector register holds, against box after box.

use super::primitives::{Aabb, MIN_HIT_M};
use super::ray_packet::RayColumn;
use crate::numerics::single_precision::{fast_max, fast_min};

/// Rays handled together, so that they stay in registers through the loop over all boxes.
pub(super) const LANES: usize = 8;

/// Part of a packet.
pub(super) struct LaneRays {
    origin: [[f32; LANES]; 3],
    inv_dir: [[f32; LANES]; 3],
}

impl LaneRays {
    /// Rays of a packet from one number on.
    #[inline(always)]
    pub(super) fn of(
        origin: &[RayColumn<f32>; 3],
        inv_dir: &[RayColumn<f32>; 3],
        first: usize,
    ) -> Self {
        Self {
            origin: [
                copied(&origin[0], first),
                copied(&origin[1], first),
                copied(&origin[2], first),
            ],
            inv_dir: [
                copied(&inv_dir[0], first),
                copied(&inv_dir[1], first),
                copied(&inv_dir[2], first),
            ],
        }
    }

    /// Nearest box of all in front of what was hit so far, by its number from 1. Choices are made by
    /// arithmetic, for a store under a mask takes a dozen cycles.
    #[inline(always)]
    pub(super) fn nearest(&self, aabbs: &[Aabb], hit_t: &mut [f32], hit_box: &mut [u32]) {
        let (mut nearest_t, mut nearest) = ([0.0; LANES], [0; LANES]);
        nearest_t.copy_from_slice(hit_t);
        nearest.copy_from_slice(hit_box);
        // Copies, or the compiler must assume that a store changes a box or a ray.
        for (&aabb, number) in aabbs.iter().zip(1u32..) {
            for lane in 0..LANES {
                let (enter_t, exit_t) = self.slabs(&aabb, lane);
                let (t_max, before) = (nearest_t[lane], nearest[lane]);
                let hit = (enter_t > MIN_HIT_M) & (enter_t <= exit_t) & (enter_t < t_max);
                nearest_t[lane] = fast_min(if hit { enter_t } else { f32::INFINITY }, t_max);
                nearest[lane] = before ^ ((before ^ number) & u32::from(hit).wrapping_neg());
            }
        }
        hit_t.copy_from_slice(&nearest_t);
        hit_box.copy_from_slice(&nearest);
    }

    /// Sets the visibility to zero where any box occludes a segment, which ends at t = 1.
    #[inline(always)]
    pub(super) fn occlude(&self, aabbs: &[Aabb], t_min: &[f32], visibility: &mut [f32]) {
        let (mut visible, mut from_t) = ([0.0; LANES], [0.0; LANES]);
        visible.copy_from_slice(visibility);
        from_t.copy_from_slice(t_min);
        for &aabb in aabbs {
            for lane in 0..LANES {
                let (enter_t, exit_t) = self.slabs(&aabb, lane);
                let hit = (enter_t > from_t[lane]) & (enter_t <= exit_t) & (enter_t < 1.0);
                visible[lane] *= if hit { 0.0 } else { 1.0 };
            }
        }
        visibility.copy_from_slice(&visible);
    }

    /// Entry into a box and exit from it; the ray misses it if the exit comes first.
    #[inline(always)]
    fn slabs(&self, aabb: &Aabb, lane: usize) -> (f32, f32) {
        let (x0, x1) = self.slab(aabb, 0, lane);
        let (y0, y1) = self.slab(aabb, 1, lane);
        let (z0, z1) = self.slab(aabb, 2, lane);
        (fast_max(fast_max(x0, y0), z0), fast_min(fast_min(x1, y1), z1))
    }

    /// No closure, for one that is called often is not always inlined.
    #[inline(always)]
    fn slab(&self, aabb: &Aabb, axis: usize, lane: usize) -> (f32, f32) {
        let (origin, inv_dir) = (self.origin[axis][lane], self.inv_dir[axis][lane]);
        let low = (aabb.low[axis] - origin) * inv_dir;
        let high = (aabb.high[axis] - origin) * inv_dir;
        (fast_min(low, high), fast_max(low, high))
    }
}

/// Part of a column from one number on.
#[inline(always)]
pub(super) fn lanes_of<T>(column: &mut RayColumn<T>, first: usize) -> &mut [T] {
    &mut column[first..first + LANES]
}

#[inline(always)]
fn copied(column: &RayColumn<f32>, first: usize) -> [f32; LANES] {
    let mut lanes = [0.0; LANES];
    lanes.copy_from_slice(&column[first..first + LANES]);
    lanes
}
