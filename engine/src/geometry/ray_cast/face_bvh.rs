//! Bounding-volume hierarchy over the faces inside a room, in double precision.

use super::face_test::{NearestHit, crosses, intersect};
use super::{Hit, Ray, RayCast};
use crate::geometry::SAME_POINT_M;
use crate::geometry::face::{Face, SURFACE_COUNT};
use bvh::aabb::{Bounded, IntersectsAabb};
use bvh::bounding_hierarchy::BHShape;
use bvh::bvh::Bvh;
use glam::DVec3;
use nalgebra::Point3;

/// Bounds of faces.
type FaceBounds = bvh::aabb::Aabb<f64, 3>;

/// All faces of a room, those inside it in a hierarchy.
#[derive(Debug)]
pub(in crate::geometry) struct FaceBvh {
    surfaces: Vec<Face>,
    leaves: Vec<FaceLeaf>,
    /// Over the leaves, if there are any.
    hierarchy: Option<Bvh<f64, 3>>,
}

impl FaceBvh {
    /// Over all faces of a room, its six surfaces first.
    pub(in crate::geometry) fn new(faces: &[Face]) -> Self {
        let (surfaces, inside) = faces.split_at(SURFACE_COUNT.min(faces.len()));
        let leaf = |(index, &face): (usize, &Face)| FaceLeaf {
            index: SURFACE_COUNT + index,
            face,
            node: 0,
        };
        let mut leaves: Vec<FaceLeaf> = inside.iter().enumerate().map(leaf).collect();
        let hierarchy = (!leaves.is_empty()).then(|| Bvh::build(&mut leaves));
        Self { surfaces: surfaces.to_vec(), leaves, hierarchy }
    }

    /// Faces whose bounds a segment meets.
    fn along<'a>(&'a self, segment: &'a Segment) -> impl Iterator<Item = &'a FaceLeaf> {
        let leaves = self.hierarchy.as_ref();
        leaves.map(|tree| tree.traverse_iterator(segment, &self.leaves)).into_iter().flatten()
    }
}

impl RayCast for FaceBvh {
    fn nearest_hit(&self, ray: &Ray) -> Option<Hit> {
        let mut nearest = NearestHit::default();
        for (index, face) in self.surfaces.iter().enumerate() {
            if let Some(hit) = intersect(index, face, ray) {
                nearest.add(hit);
            }
        }
        let wall_t = nearest.below(ray.t_max).map_or(ray.t_max, |wall| wall.t);
        let span = ray.dir * (wall_t + SAME_POINT_M);
        for leaf in self.along(&Segment { origin: ray.origin, span }) {
            if let Some(hit) = intersect(leaf.index, &leaf.face, ray) {
                nearest.add(hit);
            }
        }
        nearest.below(ray.t_max)
    }

    fn is_occluded(&self, from: DVec3, to: DVec3) -> bool {
        self.along(&Segment { origin: from, span: to - from })
            .any(|leaf| crosses(&leaf.face, from, to))
    }
}

/// Face as the hierarchy is built over it.
#[derive(Debug)]
struct FaceLeaf {
    /// Index of the face among all.
    index: usize,
    face: Face,
    node: usize,
}

impl Bounded<f64, 3> for FaceLeaf {
    fn aabb(&self) -> FaceBounds {
        // At a corner that lies askew the tolerance of a rectangle reaches out by √2 of its own.
        let margin = 2.0 * SAME_POINT_M;
        let corners = self.face.rectangle.corners();
        let low = corners.iter().copied().fold(DVec3::INFINITY, DVec3::min) - margin;
        let high = corners.iter().copied().fold(DVec3::NEG_INFINITY, DVec3::max) + margin;
        FaceBounds::with_bounds(Point3::from(low.to_array()), Point3::from(high.to_array()))
    }
}

impl BHShape<f64, 3> for FaceLeaf {
    fn set_bh_node_index(&mut self, index: usize) {
        self.node = index;
    }

    fn bh_node_index(&self) -> usize {
        self.node
    }
}

/// A bounded query. The hierarchy's own ray test leaves out rays that run in the plane of a box face,
/// which speakers, listeners and panels at one height make common; this one keeps them.
struct Segment {
    origin: DVec3,
    /// From one end to the other.
    span: DVec3,
}

impl IntersectsAabb<f64, 3> for Segment {
    fn intersects_aabb(&self, bounds: &FaceBounds) -> bool {
        let (mut enter, mut exit) = (0.0f64, 1.0f64);
        for axis in 0..3 {
            let (low, high) =
                (bounds.min[axis] - self.origin[axis], bounds.max[axis] - self.origin[axis]);
            if self.span[axis] == 0.0 {
                if 0.0 < low || high < 0.0 {
                    return false;
                }
            } else {
                let (one, other) = (low / self.span[axis], high / self.span[axis]);
                enter = enter.max(one.min(other));
                exit = exit.min(one.max(other));
            }
        }
        enter <= exit
    }
}
