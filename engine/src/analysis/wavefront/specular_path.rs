//! One ray followed from the speaker through the room, mirror by mirror.

use crate::geometry::{Face, FaceId, Faces, SAME_POINT_M};
use crate::image_source::PathVertex;
use glam::DVec3;

/// A ray after a length of way.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SpecularPath {
    /// What it touched, from the speaker on.
    pub(super) vertices: Vec<PathVertex>,
    /// Where it is.
    pub(super) end: DVec3,
    /// Unit vector along which it goes there.
    pub(super) way: DVec3,
}

/// After so many bounces a ray is given up; with a tenth of the energy lost at each, it is below
/// −90 dB by then.
const MOST_BOUNCES: usize = 200;

/// Follows a ray for a length; `None` where it comes out at the back of a face (a speaker placed in
/// furniture, a ray through a rim) or is caught in a slit.
pub(super) fn follow(
    faces: &Faces,
    from: DVec3,
    way: DVec3,
    length_m: f64,
) -> Option<SpecularPath> {
    let mut path = SpecularPath { vertices: Vec::new(), end: from, way };
    let mut left_m = length_m;
    loop {
        let last = path.vertices.last().map(|vertex| vertex.face);
        let own = last.is_none().then_some(from);
        let Some(hit) =
            nearest(faces.all(), path.end, path.way, last, own).filter(|hit| hit.ahead_m < left_m)
        else {
            path.end += path.way * left_m;
            return Some(path);
        };
        if !hit.from_the_front || path.vertices.len() == MOST_BOUNCES {
            return None;
        }
        let normal = faces.all()[hit.face].rectangle.normal;
        path.end += path.way * hit.ahead_m;
        path.way -= normal * (2.0 * normal.dot(path.way));
        path.vertices.push(PathVertex { face: hit.face, point: path.end });
        left_m -= hit.ahead_m;
    }
}

struct Hit {
    face: usize,
    ahead_m: f64,
    from_the_front: bool,
}

/// The first face ahead. A face just left is not met again, and the faces of its own cabinet let a
/// speaker's sound out (`own` is its reference point, on the first leg); otherwise what counts as a
/// crossing is what hides one point from another in [`crate::geometry::Occluders`].
fn nearest(
    faces: &[Face],
    at: DVec3,
    way: DVec3,
    last: Option<usize>,
    own: Option<DVec3>,
) -> Option<Hit> {
    let mut found: Option<Hit> = None;
    for (face, Face { id, rectangle, transparent_from, .. }) in faces.iter().enumerate() {
        let toward = way.dot(rectangle.normal);
        if toward == 0.0 || last == Some(face) {
            continue;
        }
        let ahead_m = -rectangle.signed_distance_m(at) / toward;
        let from_the_front = toward < 0.0;
        let least_m = if matches!(id, FaceId::Surface(_)) {
            // The room is convex: of the walls ahead the nearest is the one that is met, and in a
            // corner two are met at one point.
            if !from_the_front {
                continue;
            }
            -SAME_POINT_M
        } else {
            SAME_POINT_M
        };
        if ahead_m <= least_m {
            continue;
        }
        let ahead_m = ahead_m.max(0.0);
        let nearer = found.as_ref().is_none_or(|best| {
            // Where two sheets lie on each other, it is the one that faces the ray.
            let together = (ahead_m - best.ahead_m).abs() <= SAME_POINT_M;
            if together && from_the_front != best.from_the_front {
                from_the_front
            } else {
                ahead_m < best.ahead_m
            }
        });
        let is_there = || match id {
            FaceId::Surface(_) => true,
            _ => {
                rectangle.contains(at + way * ahead_m)
                    && own.is_none_or(|own| {
                        transparent_from.is_none_or(|open| SAME_POINT_M <= open.distance(own))
                    })
            }
        };
        if nearer && is_there() {
            found = Some(Hit { face, ahead_m, from_the_front });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]

    use super::*;
    use crate::scene::Room;

    /// A ray along x in a room of 5 m, from 1 m: after 10 m it has been at both ends and is back.
    #[test]
    fn a_ray_comes_back_after_twice_the_length_of_the_room() {
        let faces = Faces::bare_box(&Room { length_m: 5.0, width_m: 4.0, height_m: 2.5 });
        let from = DVec3::new(1.0, 2.0, 1.2);
        let path = follow(&faces, from, DVec3::X, 10.0).unwrap();
        assert!(path.end.distance(from) < 1e-12);
        assert_eq!(path.vertices.iter().map(|t| t.face).collect::<Vec<_>>(), [1, 0]);
        assert_eq!(path.vertices[0].point, DVec3::new(5.0, 2.0, 1.2));
    }

    /// Into a corner, out of the corner.
    #[test]
    fn a_corner_sends_a_ray_back_where_it_came_from() {
        let faces = Faces::bare_box(&Room { length_m: 4.0, width_m: 4.0, height_m: 4.0 });
        let from = DVec3::splat(1.0);
        let path = follow(&faces, from, DVec3::ONE.normalize(), 6.0 * 3f64.sqrt()).unwrap();
        assert!(path.end.distance(from) < 1e-9, "{:?}", path.end);
        assert_eq!(path.vertices.len(), 3);
    }
}
