//! Upright boxes: furniture, and speaker cabinets that stand in the room as solid bodies.

use super::model::{Furniture, Speaker};
use crate::medium::directivity::{Cabinet, Directivity, ReferencePoint};
use glam::DVec3;

/// An upright box, turned about the upright axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UprightBox {
    /// Its middle, metres.
    pub middle: DVec3,
    /// Half its size along each of its axes, metres.
    pub half: DVec3,
    /// Unit vectors from its front to its back, from its left to its right, and up.
    pub axes: [DVec3; 3],
}

impl UprightBox {
    /// Its eight corners.
    pub fn corners(&self) -> Vec<DVec3> {
        let [back, right, up] = self.axes;
        let mut corners = Vec::with_capacity(8);
        for a in [-1.0, 1.0] {
            for b in [-1.0, 1.0] {
                for c in [-1.0, 1.0] {
                    let offset = DVec3::new(a, b, c) * self.half;
                    corners.push(self.middle + back * offset.x + right * offset.y + up * offset.z);
                }
            }
        }
        corners
    }

    /// Depth of a point inside the box, metres; negative outside.
    pub fn depth_m(&self, point: DVec3) -> f64 {
        let offset = point - self.middle;
        let along = DVec3::from_array(self.axes.map(|axis| axis.dot(offset)));
        (self.half - along.abs()).min_element()
    }

    /// Overlap of two boxes, metres: the least movement of one that clears the other; negative when
    /// they are apart.
    pub fn overlap_m(&self, other: &Self) -> f64 {
        let reach = |of: &Self, axis: DVec3| -> f64 {
            of.axes.iter().zip(of.half.to_array()).map(|(a, half)| a.dot(axis).abs() * half).sum()
        };
        // Two convex bodies are apart if they are along some axis of either; upright ones have the
        // cross products of their axes among these.
        let apart = self.middle - other.middle;
        let overlap =
            |&axis: &DVec3| reach(self, axis) + reach(other, axis) - apart.dot(axis).abs();
        self.axes.iter().chain(&other.axes).map(overlap).fold(f64::INFINITY, f64::min)
    }
}

impl Furniture {
    /// The box as it stands.
    pub fn upright_box(&self) -> UprightBox {
        let half = self.size / 2.0;
        let (sin, cos) = self.turn_deg.to_radians().sin_cos();
        UprightBox {
            middle: self.corner + half,
            half,
            axes: [DVec3::new(cos, sin, 0.0), DVec3::new(-sin, cos, 0.0), DVec3::Z],
        }
    }
}

impl Speaker {
    /// The cabinet as it stands in the room, where it is solid: upright and turned to the speaker's
    /// level aim (toward the back wall if it points straight up or down), its front through the
    /// reference point, from there back by its depth.
    ///
    /// The driver of a piston, and the point half-way between the drivers of a two-way speaker, is
    /// taken to be the middle of the front.
    pub fn solid_box(&self) -> Option<UprightBox> {
        self.solid?;
        self.cabinet_box()
    }

    /// The box of any cabinet that its directivity has, solid or not.
    pub fn cabinet_box(&self) -> Option<UprightBox> {
        let cabinet = self.cabinet()?;
        let facing = DVec3::new(self.axis.x, self.axis.y, 0.0).normalize_or(DVec3::X);
        let half = DVec3::new(cabinet.depth_m, cabinet.width_m, cabinet.height_m) / 2.0;
        Some(UprightBox {
            middle: self.at - DVec3::Z * self.reference_up_m() - facing * half.x,
            half,
            axes: [-facing, DVec3::Z.cross(facing), DVec3::Z],
        })
    }

    /// The cabinet of its directivity, if it has one.
    pub fn cabinet(&self) -> Option<&Cabinet> {
        self.directivity.cabinet()
    }

    /// Height of the reference point above the middle of the front, metres.
    fn reference_up_m(&self) -> f64 {
        let Directivity::TwoWay { spacing_m, reference, .. } = &self.directivity else {
            return 0.0;
        };
        match reference {
            ReferencePoint::Tweeter => 0.5 * spacing_m,
            ReferencePoint::Between => 0.0,
            ReferencePoint::Woofer => -0.5 * spacing_m,
        }
    }
}
