//! A flat rectangle with a front.

use super::SAME_POINT_M;
use crate::geometry::diffraction::Edge;
use glam::DVec3;

/// A flat rectangle anywhere in space. Its normal, `along` and `across` are unit vectors at right
/// angles, right-handed in the order along, across, normal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    /// Its middle, metres.
    pub centre: DVec3,
    /// Unit vector out of its front.
    pub normal: DVec3,
    /// Unit vector along its first side.
    pub along: DVec3,
    /// Half the first side, metres.
    pub half_along_m: f64,
    /// Half the second side, metres.
    pub half_across_m: f64,
}

impl Rectangle {
    /// Unit vector along the second side.
    pub fn across(&self) -> DVec3 {
        self.normal.cross(self.along)
    }

    /// Distance of a point from the plane, positive in front.
    pub fn signed_distance_m(&self, point: DVec3) -> f64 {
        (point - self.centre).dot(self.normal)
    }

    /// The mirror image of a point in the plane.
    pub fn mirror(&self, point: DVec3) -> DVec3 {
        point - self.normal * (2.0 * self.signed_distance_m(point))
    }

    /// Whether a point of the plane lies on the rectangle, its rim included.
    pub fn contains(&self, point: DVec3) -> bool {
        let offset = point - self.centre;
        offset.dot(self.along).abs() <= self.half_along_m + SAME_POINT_M
            && offset.dot(self.across()).abs() <= self.half_across_m + SAME_POINT_M
    }

    /// Where the segment from `a` to `b` crosses the plane, as a fraction of the way;
    /// `None` when it runs in the plane or parallel to it.
    pub fn plane_crossing(&self, a: DVec3, b: DVec3) -> Option<f64> {
        let (from, to) = (self.signed_distance_m(a), self.signed_distance_m(b));
        let fall = from - to;
        (fall.abs() > f64::EPSILON * (from.abs() + to.abs())).then(|| from / fall)
    }

    /// Its four corners, counter-clockwise seen from the front.
    pub fn corners(&self) -> [DVec3; 4] {
        let a = self.along * self.half_along_m;
        let b = self.across() * self.half_across_m;
        [self.centre - a - b, self.centre + a - b, self.centre + a + b, self.centre - a + b]
    }

    /// Its four sides as a rim seen from the front.
    pub fn rim(&self) -> Vec<Edge> {
        let corners = self.corners();
        (0..4).map(|i| Edge { from: corners[i], to: corners[(i + 1) % 4] }).collect()
    }

    /// The point of the rectangle nearest to a point.
    pub fn closest_point(&self, point: DVec3) -> DVec3 {
        let offset = point - self.centre;
        let along = offset.dot(self.along).clamp(-self.half_along_m, self.half_along_m);
        let across = offset.dot(self.across()).clamp(-self.half_across_m, self.half_across_m);
        self.centre + self.along * along + self.across() * across
    }

    /// Shortest distance from a point to the rectangle, metres.
    pub fn distance_m(&self, point: DVec3) -> f64 {
        self.closest_point(point).distance(point)
    }

    /// How much longer the way between two points is over the point of the rectangle nearest to a
    /// given one than straight, metres.
    pub fn detour_m(&self, near: DVec3, a: DVec3, b: DVec3) -> f64 {
        let over = self.closest_point(near);
        a.distance(over) + over.distance(b) - a.distance(b)
    }

    /// The same rectangle seen from behind.
    #[must_use]
    pub fn flipped(&self) -> Self {
        Self { normal: -self.normal, ..*self }
    }
}
