//! Intersection and occlusion of ray packets with everything inside the room.

use super::lane_rays::{LANES, LaneRays, lanes_of};
use super::primitives::{Aabb, MIN_HIT_M, OrientedRect, build_primitives};
use super::ray_packet::{RayColumn, RayPacket, SegmentPacket, VectorColumns, WIDTH};
use super::wide_bvh::{BoundedRay, WideBvh};
use crate::geometry::face::Face;
use crate::numerics::single_precision::fast_min;

/// Furniture, screens and cabinets as primitives that rays hit from outside.
#[derive(Debug)]
pub(super) struct Obstacles {
    aabbs: Vec<Aabb>,
    rects: Vec<OrientedRect>,
    /// Over the boxes, where there are enough of them for it to pay.
    bvh: Option<WideBvh>,
}

impl Obstacles {
    /// Over the faces of a room without its six surfaces.
    pub(super) fn new(faces: &[Face]) -> Self {
        let (aabbs, rects) = build_primitives(faces);
        Self { bvh: WideBvh::over(&aabbs), aabbs, rects }
    }

    #[inline(always)]
    pub(super) fn is_empty(&self) -> bool {
        self.aabbs.is_empty() && self.rects.is_empty()
    }

    /// Replaces the hits of rays that hit an obstacle before.
    #[inline(always)]
    pub(super) fn nearest_hits(&self, rays: &mut RayPacket) {
        if !self.aabbs.is_empty() {
            self.intersect_aabbs(rays);
        }
        for rect in &self.rects {
            rect.intersect(rays);
        }
    }

    #[inline(always)]
    fn intersect_aabbs(&self, rays: &mut RayPacket) {
        // One more than the number of the box hit; 0 is none.
        let mut hit_box = [0u32; WIDTH];
        let RayPacket { live, origin, dir, inv_dir, hit_t, face, cos } = rays;
        if let Some(bvh) = &self.bvh {
            for i in 0..*live {
                let (origin, inv_dir) = (origin.vector(i), inv_dir.vector(i));
                let ray = BoundedRay { origin, inv_dir, t_min: MIN_HIT_M };
                if let Some((enter_t, number)) = bvh.nearest(ray, hit_t[i]) {
                    hit_t[i] = enter_t;
                    hit_box[i] = number + 1;
                }
            }
        } else {
            for first in (0..*live).step_by(LANES) {
                let (hit_t, hit_box) = (lanes_of(hit_t, first), lanes_of(&mut hit_box, first));
                LaneRays::of(origin, inv_dir, first).nearest(&self.aabbs, hit_t, hit_box);
            }
        }
        for i in 0..*live {
            if hit_box[i] > 0 {
                let aabb = &self.aabbs[hit_box[i] as usize - 1];
                let axis = aabb.entry_axis(origin.vector(i), inv_dir.vector(i));
                let across = dir[axis][i];
                face[i] = aabb.faces[2 * axis + usize::from(across < 0.0)];
                cos[i] = fast_min(across.abs(), 1.0);
            }
        }
    }

    /// Sets the visibility to zero where a segment is occluded.
    #[inline(always)]
    pub(super) fn occlude(&self, segments: &SegmentPacket<'_>, visibility: &mut RayColumn<f32>) {
        let SegmentPacket { origin, dir, inv_dir, length_m } = segments;
        // Visibilities are multiplied: a store under a mask is slow on many processors.
        let mut t_min = [0.0; WIDTH];
        for i in 0..WIDTH {
            t_min[i] = MIN_HIT_M / length_m[i];
        }
        if let Some(bvh) = &self.bvh {
            for i in 0..WIDTH {
                let (origin, inv_dir) = (origin.vector(i), inv_dir.vector(i));
                let ray = BoundedRay { origin, inv_dir, t_min: t_min[i] };
                let occluded = visibility[i] > 0.0 && bvh.is_occluded(ray, 1.0);
                visibility[i] *= if occluded { 0.0 } else { 1.0 };
            }
        }
        if self.bvh.is_none() {
            for first in (0..WIDTH).step_by(LANES) {
                let t_min = &t_min[first..first + LANES];
                let visibility = lanes_of(visibility, first);
                LaneRays::of(origin, inv_dir, first).occlude(&self.aabbs, t_min, visibility);
            }
        }
        for rect in &self.rects {
            for i in 0..WIDTH {
                let crossing = rect.crossing(origin.vector(i), dir.vector(i));
                let within = (crossing.t > t_min[i]) & (crossing.t < 1.0);
                let hit = (crossing.slope < 0.0) & within & (crossing.outside_m <= 0.0);
                visibility[i] *= if hit { 0.0 } else { 1.0 };
            }
        }
    }
}
