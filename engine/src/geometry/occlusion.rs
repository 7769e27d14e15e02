//! Does anything stand between two points? A bounding-volume tree over the faces inside the room.

use super::{Face, Rectangle, SAME_POINT_M};
use bvh::aabb::{Aabb, Bounded, IntersectsAabb};
use bvh::bounding_hierarchy::BHShape;
use bvh::bvh::Bvh;
use glam::DVec3;
use nalgebra::Point3;

/// The faces inside the room, ready to be asked what they hide.
#[derive(Debug)]
pub struct Occluders {
    leaves: Vec<Leaf>,
    tree: Option<Bvh<f64, 3>>,
}

impl Occluders {
    /// A tree over the rectangles of these faces.
    pub fn new(faces: &[Face]) -> Self {
        let leaf = |face: &Face| Leaf {
            rectangle: face.rectangle,
            transparent_from: face.transparent_from,
            node: 0,
        };
        let mut leaves: Vec<Leaf> = faces.iter().map(leaf).collect();
        let tree = (!leaves.is_empty()).then(|| Bvh::build(&mut leaves));
        Self { leaves, tree }
    }

    /// Whether a face crosses the open segment between two points. A face that one of the points
    /// lies on does not count, nor one that is open to one of them; touching a rim does.
    pub fn is_occluded(&self, a: DVec3, b: DVec3) -> bool {
        let Some(tree) = &self.tree else { return false };
        let segment = Segment { a, dir: b - a };
        tree.traverse_iterator(&segment, &self.leaves).any(|leaf| leaf.crosses(a, b))
    }

    /// The first face that crosses the segment, by its index, asking every face in turn.
    pub fn first_between(&self, a: DVec3, b: DVec3) -> Option<usize> {
        self.leaves.iter().position(|leaf| leaf.crosses(a, b))
    }
}

#[derive(Debug)]
struct Leaf {
    rectangle: Rectangle,
    transparent_from: Option<DVec3>,
    node: usize,
}

impl Leaf {
    fn crosses(&self, a: DVec3, b: DVec3) -> bool {
        let length = (b - a).length();
        self.rectangle.plane_crossing(a, b).is_some_and(|t| {
            let along_m = t * length;
            along_m > SAME_POINT_M
                && along_m < length - SAME_POINT_M
                && self.rectangle.contains(a + (b - a) * t)
                && !self.is_transparent_from(a)
                && !self.is_transparent_from(b)
        })
    }

    fn is_transparent_from(&self, point: DVec3) -> bool {
        self.transparent_from.is_some_and(|open| open.distance(point) < SAME_POINT_M)
    }
}

impl Bounded<f64, 3> for Leaf {
    fn aabb(&self) -> Aabb<f64, 3> {
        let corners = self.rectangle.corners();
        let low = corners.iter().copied().fold(DVec3::INFINITY, DVec3::min) - SAME_POINT_M;
        let high = corners.iter().copied().fold(DVec3::NEG_INFINITY, DVec3::max) + SAME_POINT_M;
        Aabb::with_bounds(Point3::from(low.to_array()), Point3::from(high.to_array()))
    }
}

impl BHShape<f64, 3> for Leaf {
    fn set_bh_node_index(&mut self, index: usize) {
        self.node = index;
    }

    fn bh_node_index(&self) -> usize {
        self.node
    }
}

/// A bounded query. The tree's own ray test leaves out rays that run in the plane of a box face,
/// which speakers, ears and panels at one height make common; this one keeps them.
struct Segment {
    a: DVec3,
    dir: DVec3,
}

impl IntersectsAabb<f64, 3> for Segment {
    fn intersects_aabb(&self, aabb: &Aabb<f64, 3>) -> bool {
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
        for axis in 0..3 {
            let (low, high) = (aabb.min[axis] - self.a[axis], aabb.max[axis] - self.a[axis]);
            if self.dir[axis] == 0.0 {
                if 0.0 < low || high < 0.0 {
                    return false;
                }
            } else {
                let (one, other) = (low / self.dir[axis], high / self.dir[axis]);
                enter = enter.max(one.min(other));
                leave = leave.min(one.max(other));
            }
        }
        enter <= leave
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{BoxSide, FaceId};
    use proptest::prelude::*;
    use proptest::test_runner::RngSeed;

    /// Rectangles and points on a coarse grid, where rays in the plane of a face, through rims and
    /// through corners are the rule.
    fn faces() -> impl Strategy<Value = Vec<Face>> {
        let face = (0..3usize, prop::array::uniform3(0..8i32), 1..4i32, 1..4i32, any::<bool>());
        prop::collection::vec(face, 0..40).prop_map(|all| {
            all.into_iter()
                .map(|(axis, at, a, b, turned)| {
                    let tilt = if turned { 0.3f64 } else { 0.0 };
                    let turn = glam::DMat3::from_rotation_z(tilt);
                    Face {
                        id: FaceId::Furniture { index: 0, side: BoxSide::Top },
                        rectangle: Rectangle {
                            centre: DVec3::from(at.map(f64::from)),
                            normal: turn * DVec3::AXES[axis],
                            along: turn * DVec3::AXES[(axis + 1) % 3],
                            half_along_m: f64::from(a) / 2.0,
                            half_across_m: f64::from(b) / 2.0,
                        },
                        material: 0,
                        transparent_from: None,
                    }
                })
                .collect()
        })
    }

    fn point() -> impl Strategy<Value = DVec3> {
        prop::array::uniform3(0..17i32).prop_map(|p| DVec3::from(p.map(f64::from)) / 2.0)
    }

    proptest! {
        #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(7), failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_tree_answers_as_the_loop_does(faces in faces(), points in prop::collection::vec((point(), point()), 60)) {
            let occluders = Occluders::new(&faces);
            for (a, b) in points {
                prop_assert_eq!(occluders.is_occluded(a, b), occluders.first_between(a, b).is_some());
                prop_assert_eq!(occluders.is_occluded(a, b), occluders.is_occluded(b, a));
            }
        }
    }

    #[test]
    fn the_tree_is_whole() {
        let at = |i: i32| Face {
            id: FaceId::Furniture { index: 0, side: BoxSide::Top },
            rectangle: Rectangle {
                centre: DVec3::new(f64::from(i % 7), f64::from(i % 5), f64::from(i % 3)),
                normal: DVec3::Z,
                along: DVec3::X,
                half_along_m: 0.4,
                half_across_m: 0.4,
            },
            material: 0,
            transparent_from: None,
        };
        let occluders = Occluders::new(&(0..60).map(at).collect::<Vec<_>>());
        let tree = occluders.tree.as_ref();
        assert!(tree.is_some_and(|tree| tree.is_consistent(&occluders.leaves)));
    }
}
