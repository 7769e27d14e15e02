//! The outline of a box as a source sees it.

use super::node::Edge;
use crate::geometry::{Rectangle, SAME_POINT_M};
use glam::DVec3;

/// The outline of a convex body, given by its faces (fronts outward), seen from a point: the edges
/// where a face that looks toward the point meets one that looks away, as a rim counter-clockwise
/// seen from behind the body. Empty when the point is inside. A face seen edge-on looks away.
pub fn silhouette(faces: &[Rectangle], source: DVec3) -> Vec<Edge> {
    let lit: Vec<[DVec3; 4]> = faces
        .iter()
        .filter(|face| face.height_of(source) > SAME_POINT_M)
        .map(Rectangle::corners)
        .collect();
    // Counter-clockwise seen from the source is clockwise seen from behind: edges are turned round.
    let edges: Vec<Edge> =
        lit.iter().flat_map(|c| (0..4).map(|i| Edge { from: c[(i + 1) % 4], to: c[i] })).collect();
    // An edge between two lit faces is there twice, once each way.
    let met = |edge: &Edge| edges.iter().any(|other| other.reversed().is_same(edge));
    edges.iter().filter(|edge| !met(edge)).copied().collect()
}
