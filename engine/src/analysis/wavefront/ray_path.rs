//! Single rays that stay in the cut, to see sound travel along its paths.

use super::cut_plane::CutPlane;
use super::energy::energy_at_end;
use super::specular_path::follow;
use crate::image_source::Propagation;
use crate::medium::bands::PerBand;
use glam::DVec3;
use std::f64::consts::TAU;

/// A ray's way in the cut: straight legs from the speaker on.
#[derive(Debug, Clone, PartialEq)]
pub struct RayPath {
    /// Where its legs begin, and where the last one ends.
    pub corners: Vec<DVec3>,
    /// Energy per band in the middle of each leg with spreading and air taken out again: what the ray
    /// carries of the speaker's at 1 m on axis.
    carried: Vec<PerBand<f64>>,
}

/// Where a ray is at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RayTip {
    /// The place, metres.
    pub at: DVec3,
    /// Energy per band there, relative to the speaker's own at 1 m on axis in a free field.
    pub band_energy: PerBand<f64>,
}

/// A leg belongs to the cut if it leaves it by less than this a metre.
const IN_CUT: f64 = 1e-9;

impl RayPath {
    /// The ray that leaves in a direction of the cut; it ends after a length, or where a tilted face
    /// sends it out of the cut.
    pub(super) fn new(ear: &Propagation<'_>, cut: CutPlane, way: DVec3, length_m: f64) -> Self {
        let faces = ear.enclosure.faces();
        let mut ray = Self { corners: vec![ear.speaker], carried: Vec::new() };
        let Some(path) = follow(faces, ear.speaker, way, length_m) else { return ray };
        let mut gone_m = 0.0;
        let ends = path.vertices.iter().map(|vertex| vertex.point).chain([path.end]);
        let mut from = ear.speaker;
        for end in ends {
            let leg = end - from;
            let long_m = leg.length();
            if IN_CUT * long_m.max(1.0) < cut.normal().dot(leg).abs() {
                break;
            }
            // In the middle of the leg there is no doubt which bounces are behind.
            let middle_m = gone_m + long_m / 2.0;
            let Some(there) = follow(faces, ear.speaker, way, middle_m) else { break };
            let air = ear.enclosure.air_energy(middle_m);
            let energy = energy_at_end(ear, there, middle_m);
            ray.carried.push(std::array::from_fn(|b| energy[b] * middle_m * middle_m / air[b]));
            ray.corners.push(end);
            gone_m += long_m;
            from = end;
        }
        ray
    }

    /// Where it is after a length of way, and how much it carries; `None` once it has left the cut.
    pub fn tip(&self, ear: &Propagation<'_>, length_m: f64) -> Option<RayTip> {
        let mut left_m = length_m;
        for (ends, carried) in self.corners.windows(2).zip(&self.carried) {
            let long_m = ends[0].distance(ends[1]);
            if left_m <= long_m && 0.0 < long_m {
                let air = ear.enclosure.air_energy(length_m);
                return Some(RayTip {
                    at: ends[0].lerp(ends[1], left_m / long_m),
                    band_energy: std::array::from_fn(|b| {
                        carried[b] * air[b] / (length_m * length_m)
                    }),
                });
            }
            left_m -= long_m;
        }
        None
    }

    /// The last stretch of its way up to a length, corner by corner; empty once it has left the cut.
    pub fn tail(&self, length_m: f64, stretch_m: f64) -> Vec<DVec3> {
        let mut points = Vec::new();
        let (mut gone_m, from_m) = (0.0, (length_m - stretch_m).max(0.0));
        for ends in self.corners.windows(2) {
            let long_m = ends[0].distance(ends[1]);
            let on_leg = |at_m: f64| ends[0].lerp(ends[1], (at_m - gone_m) / long_m);
            if 0.0 < long_m && from_m < gone_m + long_m {
                if points.is_empty() {
                    points.push(on_leg(from_m));
                }
                if length_m <= gone_m + long_m {
                    points.push(on_leg(length_m));
                    return points;
                }
                points.push(ends[1]);
            }
            gone_m += long_m;
        }
        Vec::new()
    }
}

/// Directions in a cut, evenly round, the first between two axes of the room so that none runs along
/// a wall.
pub(super) fn round(cut: CutPlane, count: usize) -> impl Iterator<Item = DVec3> {
    let across = if cut == CutPlane::Plan { DVec3::Y } else { DVec3::Z };
    (0..count).map(move |index| {
        let (sin, cos) = (TAU * (index as f64 + 0.5) / count as f64).sin_cos();
        DVec3::X * cos + across * sin
    })
}
