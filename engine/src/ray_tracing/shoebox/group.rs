//! Rays of all lanes with the receivers they pass.

use super::lanes::{LANES, Lanes, ReceiverPlanes, ShoeboxLanes};
use super::ray::ShoeboxRay;

/// Lanes, and what belongs to the ray in each.
pub(super) struct LaneGroup {
    pub(super) lanes: ShoeboxLanes,
    /// Squares of the components of each direction.
    pub(super) weight: [Lanes; 3],
    /// For each receiver.
    pub(super) planes_m: Vec<ReceiverPlanes>,
    pub(super) rays: [ShoeboxRay; LANES],
}

impl LaneGroup {
    /// No rays, for so many receivers.
    pub(super) fn empty(receivers: usize) -> Self {
        Self {
            lanes: ShoeboxLanes::IDLE,
            weight: [[0.0; LANES]; 3],
            planes_m: vec![[[0.0; LANES]; 3]; receivers],
            rays: [ShoeboxRay::NONE; LANES],
        }
    }

    /// Whether no lane holds a ray.
    pub(super) fn is_empty(&self) -> bool {
        self.rays.iter().all(|ray| !ray.is_active)
    }

    /// Whether the ray of a lane, if it has one, has come to its end.
    #[inline(always)]
    pub(super) fn is_at_end(&self, lane: usize) -> bool {
        self.lanes.last_m[lane] >= self.lanes.end_m[lane]
    }

    /// Moves a new ray to its first wall, from where its distances count; the distance of that wall.
    pub(super) fn advance_to_first_hit(&mut self, lane: usize) -> f32 {
        let lanes = &mut self.lanes;
        let first_m = lanes.wall_m.iter().map(|wall| wall[lane]).fold(f32::INFINITY, f32::min);
        for axis in 0..3 {
            let wall_m = lanes.wall_m[axis][lane];
            let is_hit = wall_m <= first_m;
            lanes.hits[axis][lane] = u32::from(is_hit);
            lanes.wall_m[axis][lane] += if is_hit { lanes.period_m[axis][lane] } else { 0.0 };
            lanes.wall_m[axis][lane] -= first_m;
            for planes_m in &mut self.planes_m {
                let plane_m = planes_m[axis][lane];
                let mirrored_m = if is_hit { 2.0 * wall_m - plane_m } else { plane_m };
                planes_m[axis][lane] = mirrored_m - first_m;
            }
        }
        lanes.last_m[lane] = 0.0;
        first_m
    }

    /// Hits per metre across each axis.
    pub(super) fn hits_per_m(&self, lane: usize) -> [f32; 3] {
        [0, 1, 2].map(|axis| 1.0 / self.lanes.period_m[axis][lane])
    }

    /// Counts all distances from the last hits on, so that they stay small and exact. Adds the squares
    /// of the free paths to `squares_m2`.
    #[inline(always)]
    pub(super) fn rebase(&mut self, squares_m2: &mut f64) {
        let Self { lanes, planes_m, rays, .. } = self;
        let last_m = lanes.last_m;
        for distances_m in lanes.wall_m.iter_mut().chain(planes_m.iter_mut().flatten()) {
            for i in 0..LANES {
                distances_m[i] -= last_m[i];
            }
        }
        for i in 0..LANES {
            lanes.end_m[i] -= last_m[i];
            lanes.last_m[i] = 0.0;
            rays[i].path_m += last_m[i];
            *squares_m2 += f64::from(lanes.squares_m2[i]);
            lanes.squares_m2[i] = 0.0;
        }
    }
}
