//! Every image of the cut that sound can end on, found by rays in all directions.
//!
//! A ray that has met a trail of mirrors ends in the cut where its straight continuation would end
//! in the cut's image in those mirrors. Faces square to the cut leave the cut where it is; faces
//! parallel to it shift it; tilted ones turn it.

use super::cut_plane::{PlaneEquation, Unfolding};
use super::specular_path::follow;
use crate::geometry::Faces;
use glam::DVec3;
use rayon::prelude::*;
use std::f64::consts::TAU;

/// An image of the cut, and where rays that end on it leave the speaker.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ImagePlane {
    /// The image.
    pub(super) plane: PlaneEquation,
    /// Two unit vectors in it at right angles; azimuths count from the first to the second.
    pub(super) frame: [DVec3; 2],
    /// Sectors of azimuth, one bit each, in which rays have it as their image.
    sectors: u128,
    /// Lengths of way at which some ray has it as its image, metres.
    reach_m: [f64; 2],
}

/// An image that a ray comes by, and the lengths of way at which it does, metres.
struct ImageCrossing {
    plane: PlaneEquation,
    reach_m: [f64; 2],
}

/// Directions tried: one in every 1.4° square.
const DIRECTIONS: usize = 20_000;

/// Sectors of azimuth: as many as there are bits to mark them.
const SECTORS: usize = 128;

/// A ray stands for those about it: it may miss an image by this share of its way (three times half
/// the width of the net) and this much more, metres.
const SLACK: f64 = 0.04;
const SLACK_M: f64 = 0.1;

impl ImagePlane {
    fn new(plane: PlaneEquation) -> Self {
        let first = if plane.normal.x.abs() < 0.9 { DVec3::X } else { DVec3::Y };
        let across = plane.normal.cross(first).normalize();
        Self {
            plane,
            frame: [across.cross(plane.normal), across],
            sectors: 0,
            reach_m: [f64::INFINITY, 0.0],
        }
    }

    fn mark(&mut self, way: DVec3, reach_m: [f64; 2]) {
        let [x, y] = self.frame.map(|axis| axis.dot(way));
        self.sectors |= 1 << sector(y.atan2(x));
        self.reach_m = [self.reach_m[0].min(reach_m[0]), self.reach_m[1].max(reach_m[1])];
    }

    /// Whether rays of a length may end on it.
    pub(super) fn is_near(&self, length_m: f64) -> bool {
        let slack_m = SLACK_M + SLACK * length_m;
        self.reach_m[0] - slack_m <= length_m && length_m <= self.reach_m[1] + slack_m
    }

    /// Whether rays of an azimuth, radians, may end on it: a sector that some did, or one beside.
    pub(super) fn is_open(&self, azimuth: f64) -> bool {
        let sector = sector(azimuth);
        let marked = |s: usize| self.sectors >> (s % SECTORS) & 1 == 1;
        marked(sector) || marked(sector + 1) || marked(sector + SECTORS - 1)
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 127")]
fn sector(azimuth: f64) -> usize {
    ((azimuth.rem_euclid(TAU) / TAU * SECTORS as f64) as usize).min(SECTORS - 1)
}

/// Every image of the cut for rays from a point up to a length; the cut itself comes first, the
/// others in the order in which the directions find them.
pub(super) fn image_planes(
    faces: &Faces,
    from: DVec3,
    cut: &PlaneEquation,
    reach_m: f64,
) -> Vec<ImagePlane> {
    let found: Vec<(DVec3, Vec<ImageCrossing>)> = (0..DIRECTIONS)
        .into_par_iter()
        .map(|index| {
            let way = direction(index);
            (way, images_along(faces, from, way, cut, reach_m))
        })
        .collect();
    let mut planes = vec![ImagePlane::new(Unfolding::STRAIGHT.image_of(cut))];
    for (way, images) in found {
        for ImageCrossing { plane, reach_m } in images {
            let known = planes.iter().position(|known| known.plane.is_same(&plane));
            let at = known.unwrap_or_else(|| {
                planes.push(ImagePlane::new(plane));
                planes.len() - 1
            });
            planes[at].mark(way, reach_m);
        }
    }
    planes
}

/// The images of the cut that a ray comes by, with the lengths of way at which it does.
fn images_along(
    faces: &Faces,
    from: DVec3,
    way: DVec3,
    cut: &PlaneEquation,
    reach_m: f64,
) -> Vec<ImageCrossing> {
    let Some(path) = follow(faces, from, way, reach_m) else { return Vec::new() };
    let mut unfolding = Unfolding::STRAIGHT;
    let (mut at, mut gone_m) = (from, 0.0);
    let mut images = Vec::new();
    let mut come_by = |unfolding: &Unfolding, leg_m: [f64; 2]| {
        let plane = unfolding.image_of(cut);
        let off_m = plane.offset_m - plane.normal.dot(from);
        images.extend(
            close(off_m, plane.normal.dot(way), leg_m)
                .map(|reach_m| ImageCrossing { plane, reach_m }),
        );
    };
    for vertex in &path.vertices {
        let next_m = gone_m + at.distance(vertex.point);
        come_by(&unfolding, [gone_m, next_m]);
        unfolding = unfolding.then(&faces.all()[vertex.face].rectangle);
        (at, gone_m) = (vertex.point, next_m);
    }
    come_by(&unfolding, [gone_m, reach_m]);
    images
}

/// The lengths r within a leg at which a ray is close to a plane: |off − r·climb| ≤ slack(r), where
/// the plane is `off_m` away from where the ray starts and it climbs by `climb` a metre.
fn close(off_m: f64, climb: f64, [mut from_m, mut to_m]: [f64; 2]) -> Option<[f64; 2]> {
    // Both bounds of the absolute value, each as slope · r ≥ least.
    for (slope, least_m) in [(SLACK + climb, off_m - SLACK_M), (SLACK - climb, -off_m - SLACK_M)] {
        if slope > 0.0 {
            from_m = from_m.max(least_m / slope);
        } else if slope < 0.0 {
            to_m = to_m.min(least_m / slope);
        } else if least_m > 0.0 {
            return None;
        }
    }
    (from_m <= to_m).then_some([from_m, to_m])
}

/// Directions spread evenly over the sphere on a spiral of the golden angle (Vogel, Math. Biosci. 44,
/// 179, 1979, taken to the sphere).
fn direction(index: usize) -> DVec3 {
    let golden = std::f64::consts::PI * (3.0 - 5f64.sqrt());
    let z = 1.0 - 2.0 * (index as f64 + 0.5) / DIRECTIONS as f64;
    let (sin, cos) = (golden * index as f64).sin_cos();
    let level = (1.0 - z * z).sqrt();
    DVec3::new(level * cos, level * sin, z)
}
