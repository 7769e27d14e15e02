//! A flat rectangle with a front.

use super::SAME_POINT_M;
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
    pub fn height_of(&self, point: DVec3) -> f64 {
        (point - self.centre).dot(self.normal)
    }

    /// The mirror image of a point in the plane.
    pub fn mirror(&self, point: DVec3) -> DVec3 {
        point - self.normal * (2.0 * self.height_of(point))
    }

    /// Whether a point of the plane lies on the rectangle, its rim included.
    pub fn holds(&self, point: DVec3) -> bool {
        let offset = point - self.centre;
        offset.dot(self.along).abs() <= self.half_along_m + SAME_POINT_M
            && offset.dot(self.across()).abs() <= self.half_across_m + SAME_POINT_M
    }

    /// Where the segment from `a` to `b` crosses the plane, as a fraction of the way;
    /// `None` when it runs in the plane or parallel to it.
    pub fn crossing(&self, a: DVec3, b: DVec3) -> Option<f64> {
        let (from, to) = (self.height_of(a), self.height_of(b));
        let fall = from - to;
        (fall.abs() > f64::EPSILON * (from.abs() + to.abs())).then(|| from / fall)
    }

    /// Its four corners, counter-clockwise seen from the front.
    pub fn corners(&self) -> [DVec3; 4] {
        let a = self.along * self.half_along_m;
        let b = self.across() * self.half_across_m;
        [self.centre - a - b, self.centre + a - b, self.centre + a + b, self.centre - a + b]
    }

    /// Shortest distance from a point to the rectangle, metres.
    pub fn distance_m(&self, point: DVec3) -> f64 {
        let offset = point - self.centre;
        let beyond = |axis: DVec3, half: f64| (offset.dot(axis).abs() - half).max(0.0);
        DVec3::new(
            self.height_of(point),
            beyond(self.along, self.half_along_m),
            beyond(self.across(), self.half_across_m),
        )
        .length()
    }

    /// The same rectangle seen from behind.
    #[must_use]
    pub fn turned_over(&self) -> Self {
        Self { normal: -self.normal, ..*self }
    }
}
