//! Tests of one face against a ray or a segment, which all single-ray casters share.

use super::{Hit, Ray};
use crate::geometry::SAME_POINT_M;
use crate::geometry::face::{Face, FaceId};
use glam::DVec3;

/// Hit of a ray on a face, whatever is in front of it and however far away.
pub(super) fn intersect(index: usize, face: &Face, ray: &Ray) -> Option<Hit> {
    let slope = ray.dir.dot(face.rectangle.normal);
    if slope == 0.0 || ray.leaves == Some(index) {
        return None;
    }
    let t = -face.rectangle.signed_distance_m(ray.origin) / slope;
    let is_front = slope < 0.0;
    if matches!(face.id, FaceId::Surface(_)) {
        // In a corner two surfaces are hit at one point, the second at no distance.
        return (is_front && t > -SAME_POINT_M).then_some(Hit {
            face: index,
            t: t.max(0.0),
            is_front,
        });
    }
    let hits = t > SAME_POINT_M
        && face.rectangle.contains(ray.origin + ray.dir * t)
        && !face.is_transparent_from(ray.origin);
    hits.then_some(Hit { face: index, t, is_front })
}

/// Whether a face crosses the open segment between two points.
pub(super) fn crosses(face: &Face, from: DVec3, to: DVec3) -> bool {
    let length_m = (to - from).length();
    face.rectangle.plane_crossing(from, to).is_some_and(|fraction| {
        let t = fraction * length_m;
        t > SAME_POINT_M
            && t < length_m - SAME_POINT_M
            && face.rectangle.contains(from + (to - from) * fraction)
            && !face.is_transparent_from(from)
            && !face.is_transparent_from(to)
    })
}

/// Nearest of several hits, in whichever order they come.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct NearestHit {
    of_all: Option<Hit>,
    of_fronts: Option<Hit>,
}

impl NearestHit {
    /// Takes one more hit into account.
    pub(super) fn add(&mut self, hit: Hit) {
        replace_if_nearer(&mut self.of_all, hit);
        if hit.is_front {
            replace_if_nearer(&mut self.of_fronts, hit);
        }
    }

    /// Nearest hit below a distance, the front where two faces lie on each other.
    pub(super) fn below(&self, t_max: f64) -> Option<Hit> {
        let nearest = self.of_all?;
        let front = self.of_fronts.filter(|front| front.t - nearest.t <= SAME_POINT_M);
        Some(front.unwrap_or(nearest)).filter(|hit| hit.t < t_max)
    }
}

/// Of two faces at exactly one distance the first in order is hit.
fn replace_if_nearer(nearest: &mut Option<Hit>, hit: Hit) {
    let is_nearer = |best: &Hit| (hit.t, hit.face) < (best.t, best.face);
    if nearest.as_ref().is_none_or(is_nearer) {
        *nearest = Some(hit);
    }
}
