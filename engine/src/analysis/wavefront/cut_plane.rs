//! The plane of a drawing, and its mirror images.

use crate::geometry::Rectangle;
use glam::{DMat3, DVec3};

/// Which way a picture cuts through the room; it always goes through the speaker's reference point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutPlane {
    /// Level, seen from above.
    Plan,
    /// Upright from front to back, seen from the left.
    Section,
}

impl CutPlane {
    /// Unit vector across the cut: the way the picture does not show.
    pub fn normal(self) -> DVec3 {
        match self {
            Self::Plan => DVec3::Z,
            Self::Section => DVec3::Y,
        }
    }

    /// The plane of the cut through a point.
    pub(super) fn plane_through(self, point: DVec3) -> PlaneEquation {
        let normal = self.normal();
        PlaneEquation { normal, offset_m: normal.dot(point) }
    }
}

/// The points x with `normal · x = offset_m`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PlaneEquation {
    /// Unit vector across it.
    pub(super) normal: DVec3,
    /// Its distance from the origin along the normal, metres.
    pub(super) offset_m: f64,
}

/// Two planes closer than this in every figure are one and the same: far above the rounding of a
/// hundred bounces, far below what can be drawn.
const SAME_PLANE: f64 = 1e-6;

impl PlaneEquation {
    /// Distance of a point from the plane, metres.
    pub(super) fn distance_m(&self, point: DVec3) -> f64 {
        (self.normal.dot(point) - self.offset_m).abs()
    }

    /// The same plane with its normal pointing into one half of space, so that a plane has one
    /// description only.
    fn canonical(self) -> Self {
        let leads = self.normal.to_array().into_iter().find(|part| part.abs() > SAME_PLANE);
        if leads.is_some_and(|part| part < 0.0) {
            Self { normal: -self.normal, offset_m: -self.offset_m }
        } else {
            self
        }
    }

    /// Whether two planes, each described its one way, are the same.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        self.normal.abs_diff_eq(other.normal, SAME_PLANE)
            && (self.offset_m - other.offset_m).abs() < SAME_PLANE
    }
}

/// What a trail of mirrors makes of the straight line that a ray would be without them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Unfolding {
    turn: DMat3,
    shift: DVec3,
}

impl Unfolding {
    /// No mirror yet.
    pub(super) const STRAIGHT: Self = Self { turn: DMat3::IDENTITY, shift: DVec3::ZERO };

    /// One mirror more.
    pub(super) fn then(&self, mirror: &Rectangle) -> Self {
        let normal = mirror.normal;
        let across = |v: DVec3| v - normal * (2.0 * normal.dot(v));
        let turn = DMat3::from_cols(
            across(self.turn.x_axis),
            across(self.turn.y_axis),
            across(self.turn.z_axis),
        );
        Self { turn, shift: mirror.mirror(self.shift) }
    }

    /// Where a straight ray must end for the mirrored one to end in a plane: the image of the plane.
    pub(super) fn image_of(&self, plane: &PlaneEquation) -> PlaneEquation {
        PlaneEquation {
            normal: self.turn.transpose() * plane.normal,
            offset_m: plane.offset_m - plane.normal.dot(self.shift),
        }
        .canonical()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// In a box of height H the image planes of a level cut stand 2H apart about the mirrored and the
    /// plain height (Allen & Berkley, JASA 65, 943, 1979: the images of a point; a plane is points).
    #[test]
    fn floor_and_ceiling_make_a_ladder_of_planes() {
        let (height_m, at_m) = (2.5, 1.2);
        let flat = |z: f64, up: f64| Rectangle {
            centre: DVec3::new(0.0, 0.0, z),
            normal: DVec3::Z * up,
            along: DVec3::X,
            half_along_m: 1.0,
            half_across_m: 1.0,
        };
        let (floor, ceiling) = (flat(0.0, 1.0), flat(height_m, -1.0));
        let plane = CutPlane::Plan.plane_through(DVec3::Z * at_m);
        let after = |trail: &[&Rectangle]| {
            let end = trail.iter().fold(Unfolding::STRAIGHT, |so_far, face| so_far.then(face));
            end.image_of(&plane)
        };
        let heights = [
            (after(&[]), at_m),
            (after(&[&floor]), -at_m),
            (after(&[&ceiling]), 2.0 * height_m - at_m),
            (after(&[&floor, &ceiling]), at_m - 2.0 * height_m),
            (after(&[&ceiling, &floor]), at_m + 2.0 * height_m),
        ];
        for (plane, height_m) in heights {
            let expected = PlaneEquation { normal: DVec3::Z, offset_m: height_m };
            assert!(plane.is_same(&expected), "{plane:?} {height_m}");
        }
    }
}
