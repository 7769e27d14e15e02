//! One ray followed from the speaker through the room, mirror by mirror.

use crate::geometry::Faces;
use crate::geometry::ray_cast::Ray;
use crate::image_source::PathVertex;
use glam::DVec3;

/// A specular path of a given length.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SpecularPath {
    /// Its reflection points, from the speaker on.
    pub(super) vertices: Vec<PathVertex>,
    /// Its end point.
    pub(super) end: DVec3,
    /// Unit vector of its last leg.
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
        let leaves = path.vertices.last().map(|vertex| vertex.face);
        let ray = Ray { origin: path.end, dir: path.way, t_max: left_m, leaves };
        let Some(hit) = faces.nearest_hit(&ray) else {
            path.end += path.way * left_m;
            return Some(path);
        };
        if !hit.is_front || path.vertices.len() == MOST_BOUNCES {
            return None;
        }
        let normal = faces.all()[hit.face].rectangle.normal;
        path.end += path.way * hit.t;
        path.way -= normal * (2.0 * normal.dot(path.way));
        path.vertices.push(PathVertex { face: hit.face, point: path.end });
        left_m -= hit.t;
    }
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
