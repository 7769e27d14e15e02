//! Reference ray caster: every face for every ray.

use super::face_test::{NearestHit, crosses, intersect};
use super::{Hit, Ray, RayCast};
use crate::geometry::face::{Face, SURFACE_COUNT};
use glam::DVec3;

/// All faces of a room, its six surfaces first.
#[derive(Debug, Clone, Copy)]
pub(in crate::geometry) struct BruteForce<'a>(pub(in crate::geometry) &'a [Face]);

impl BruteForce<'_> {
    /// First face inside the room, in order of index, that crosses the open segment between two points.
    pub(in crate::geometry) fn first_occluder(&self, from: DVec3, to: DVec3) -> Option<usize> {
        (SURFACE_COUNT..self.0.len()).find(|&index| crosses(&self.0[index], from, to))
    }
}

impl RayCast for BruteForce<'_> {
    fn nearest_hit(&self, ray: &Ray) -> Option<Hit> {
        let mut nearest = NearestHit::default();
        for (index, face) in self.0.iter().enumerate() {
            if let Some(hit) = intersect(index, face, ray) {
                nearest.add(hit);
            }
        }
        nearest.below(ray.t_max)
    }

    fn is_occluded(&self, from: DVec3, to: DVec3) -> bool {
        self.first_occluder(from, to).is_some()
    }
}
