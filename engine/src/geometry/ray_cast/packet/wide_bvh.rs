//! Bounding-volume hierarchy with eight children a node, for single rays in single precision.

use super::primitives::Aabb;
use crate::numerics::single_precision::{fast_max, fast_min};
use bvh::aabb::Bounded;
use bvh::bounding_hierarchy::BHShape;
use bvh::bvh::{Bvh, BvhNode};
use nalgebra::Point3;

/// Bounds of a part of the binary hierarchy that the wide one is made from.
type NodeBounds = bvh::aabb::Aabb<f32, 3>;

/// Hierarchy over boxes. The boxes of all children stand side by side in a node and are tested at
/// once, and the box of a leaf is the primitive itself (Wald, Benthin and Boulos 2008, from memory).
#[derive(Debug)]
pub(super) struct WideBvh {
    nodes: Vec<Node>,
}

/// Most children of a node: the lanes of a vector register.
const ARITY: usize = 8;

/// Boxes of all children, and what they are.
#[derive(Debug, Clone, Copy)]
struct Node {
    low: [[f32; ARITY]; 3],
    high: [[f32; ARITY]; 3],
    child: [Child; ARITY],
}

#[derive(Debug, Clone, Copy)]
enum Child {
    /// Index of a node.
    Node(u32),
    /// Index of a box.
    Leaf(u32),
}

/// Ray, or segment to a receiver; distances count in lengths of its direction.
#[derive(Debug, Clone, Copy)]
pub(super) struct BoundedRay {
    pub(super) origin: [f32; 3],
    /// Reciprocals of the components of the direction.
    pub(super) inv_dir: [f32; 3],
    /// Least distance that counts as a hit.
    pub(super) t_min: f32,
}

/// Least number of boxes at which a hierarchy beats the loop of a packet over all boxes.
const MIN_LEAVES: usize = 64;

/// Most nodes on the stack. Deeper hierarchies are not built; those by surface area over thousands of
/// boxes are some six deep.
const STACK_SIZE: usize = 128;

/// Each level leaves up to seven nodes on the stack while the eighth is visited.
const MAX_DEPTH: usize = (STACK_SIZE - ARITY) / (ARITY - 1);

impl WideBvh {
    /// Hierarchy over boxes; `None` for fewer than pay for one.
    pub(super) fn over(aabbs: &[Aabb]) -> Option<Self> {
        if aabbs.len() < MIN_LEAVES {
            return None;
        }
        let leaf = |(index, aabb): (usize, &Aabb)| BoxLeaf { index, aabb: *aabb, node: 0 };
        let mut leaves: Vec<BoxLeaf> = aabbs.iter().enumerate().map(leaf).collect();
        let binary = Bvh::build(&mut leaves);
        let mut nodes = Vec::new();
        let deepest = flatten(&binary.nodes, &leaves, 0, &mut nodes);
        (deepest <= MAX_DEPTH && !nodes.is_empty()).then_some(Self { nodes })
    }

    /// Nearest box that a ray enters below a distance: where, and its index.
    #[inline(always)]
    pub(super) fn nearest(&self, ray: BoundedRay, t_max: f32) -> Option<(f32, u32)> {
        let mut hit = None;
        let mut nearest_t = t_max;
        self.traverse(ray, t_max, |enter_t, leaf| {
            if enter_t < nearest_t {
                nearest_t = enter_t;
                hit = Some((enter_t, leaf));
            }
            nearest_t
        });
        hit
    }

    /// Whether a ray enters any box below a distance.
    #[inline(always)]
    pub(super) fn is_occluded(&self, ray: BoundedRay, t_max: f32) -> bool {
        let mut is_occluded = false;
        self.traverse(ray, t_max, |_, _| {
            is_occluded = true;
            // Nothing is nearer than this, so the traversal ends.
            f32::NEG_INFINITY
        });
        is_occluded
    }

    /// Visits the boxes that a ray enters below `t_max`, roughly the nearer ones first; `visit` returns
    /// the new `t_max`.
    #[inline(always)]
    fn traverse(&self, ray: BoundedRay, mut t_max: f32, mut visit: impl FnMut(f32, u32) -> f32) {
        let mut stack = [(0u32, f32::NEG_INFINITY); STACK_SIZE];
        let mut depth = 1;
        while depth > 0 {
            depth -= 1;
            let (number, node_t) = stack[depth];
            if node_t >= t_max {
                continue;
            }
            let node = &self.nodes[number as usize];
            let (enter_t, mut hits) = node.slabs(ray, t_max);
            let base = depth;
            while hits != 0 {
                let slot = hits.trailing_zeros() as usize / 8;
                hits &= hits - 1;
                let enter_t = enter_t[slot];
                match node.child[slot] {
                    Child::Leaf(leaf) => {
                        if enter_t > ray.t_min {
                            t_max = visit(enter_t, leaf);
                        }
                    }
                    Child::Node(child) => {
                        // Insertion by distance, the nearest on top.
                        let mut place = depth;
                        while place > base && stack[place - 1].1 < enter_t {
                            stack[place] = stack[place - 1];
                            place -= 1;
                        }
                        stack[place] = (child, enter_t);
                        depth += 1;
                    }
                }
            }
        }
    }
}

/// Coordinate of the box of an empty slot, which no ray reaches, metres.
const UNREACHABLE_M: f32 = 1e30;

impl Node {
    const EMPTY: Self = Self {
        low: [[UNREACHABLE_M; ARITY]; 3],
        high: [[UNREACHABLE_M; ARITY]; 3],
        child: [Child::Leaf(0); ARITY],
    };

    /// Entry into the box of each child, and in one byte for each whether the ray enters it below a
    /// distance.
    #[inline(always)]
    fn slabs(&self, ray: BoundedRay, t_max: f32) -> ([f32; ARITY], u64) {
        let mut enter = [0.0; ARITY];
        let mut hits = [false; ARITY];
        for slot in 0..ARITY {
            let (x0, x1) = self.slab(ray, 0, slot);
            let (y0, y1) = self.slab(ray, 1, slot);
            let (z0, z1) = self.slab(ray, 2, slot);
            let enter_t = fast_max(fast_max(x0, y0), z0);
            let exit_t = fast_min(fast_min(x1, y1), z1);
            enter[slot] = enter_t;
            hits[slot] = (enter_t <= exit_t) & (exit_t >= 0.0) & (enter_t < t_max);
        }
        (enter, u64::from_le_bytes(hits.map(u8::from)))
    }

    #[inline(always)]
    fn slab(&self, ray: BoundedRay, axis: usize, slot: usize) -> (f32, f32) {
        let low = (self.low[axis][slot] - ray.origin[axis]) * ray.inv_dir[axis];
        let high = (self.high[axis][slot] - ray.origin[axis]) * ray.inv_dir[axis];
        (fast_min(low, high), fast_max(low, high))
    }
}

/// Box as the binary hierarchy is built over it.
struct BoxLeaf {
    index: usize,
    aabb: Aabb,
    node: usize,
}

impl Bounded<f32, 3> for BoxLeaf {
    fn aabb(&self) -> NodeBounds {
        NodeBounds::with_bounds(Point3::from(self.aabb.low), Point3::from(self.aabb.high))
    }
}

impl BHShape<f32, 3> for BoxLeaf {
    fn set_bh_node_index(&mut self, index: usize) {
        self.node = index;
    }

    fn bh_node_index(&self) -> usize {
        self.node
    }
}

/// Appends the wide nodes of the hierarchy below a binary node; its depth, 0 for a leaf.
fn flatten(
    binary: &[BvhNode<f32, 3>],
    leaves: &[BoxLeaf],
    root: usize,
    nodes: &mut Vec<Node>,
) -> usize {
    let children = collapse(binary, root);
    if children.is_empty() {
        return 0;
    }
    let place = nodes.len();
    nodes.push(Node::EMPTY);
    let mut deepest = 0;
    for (slot, (bounds, index)) in children.into_iter().enumerate() {
        let child = match binary[index] {
            BvhNode::Leaf { shape_index, .. } => Child::Leaf(leaves[shape_index].index as u32),
            BvhNode::Node { .. } => {
                let child = nodes.len() as u32;
                deepest = deepest.max(flatten(binary, leaves, index, nodes));
                Child::Node(child)
            }
        };
        let node = &mut nodes[place];
        for axis in 0..3 {
            node.low[axis][slot] = bounds.min[axis];
            node.high[axis][slot] = bounds.max[axis];
        }
        node.child[slot] = child;
    }
    deepest + 1
}

/// Up to eight descendants that cover all below a binary node: the one with the largest surface, which
/// most rays enter, gives way to its own two children until there are eight.
fn collapse(binary: &[BvhNode<f32, 3>], root: usize) -> Vec<(NodeBounds, usize)> {
    let children_of = |index: usize| match binary[index] {
        BvhNode::Node { child_l_index, child_l_aabb, child_r_index, child_r_aabb, .. } => {
            Some([(child_l_aabb, child_l_index), (child_r_aabb, child_r_index)])
        }
        BvhNode::Leaf { .. } => None,
    };
    let mut children: Vec<_> = children_of(root).into_iter().flatten().collect();
    while children.len() < ARITY {
        let is_inner = |place: &usize| children_of(children[*place].1).is_some();
        let surface = |place: usize| children[place].0.surface_area();
        let largest =
            (0..children.len()).filter(is_inner).max_by(|&a, &b| surface(a).total_cmp(&surface(b)));
        let Some(place) = largest else { break };
        let (_, index) = children.swap_remove(place);
        children.extend(children_of(index).into_iter().flatten());
    }
    children
}

#[cfg(test)]
mod tests {
    #![expect(clippy::expect_used, reason = "a test may stop")]

    use super::*;
    use crate::numerics::stream::Stream;

    /// The hierarchy against a loop over all boxes.
    #[test]
    fn the_hierarchy_is_a_loop_over_all_boxes() {
        let mut stream = Stream::new(1, 1);
        let mut point = || [0, 1, 2].map(|_| 5.0 * stream.next());
        let aabbs: Vec<Aabb> = (0..500)
            .map(|_| {
                let low = point();
                let size = point();
                let high = [0, 1, 2].map(|axis| low[axis] + 0.04 * size[axis]);
                Aabb { low, high, faces: [0; 6] }
            })
            .collect();
        let bvh = WideBvh::over(&aabbs).expect("enough boxes");
        let mut hits = 0;
        for _ in 0..5000 {
            let (origin, to) = (point(), point());
            let inv_dir = [0, 1, 2].map(|axis| 1.0 / (to[axis] - origin[axis]));
            let ray = BoundedRay { origin, inv_dir, t_min: 1e-4 };
            let enters = |aabb: &Aabb| {
                let slab = |axis: usize| {
                    let [a, b] = [aabb.low[axis], aabb.high[axis]]
                        .map(|edge| (edge - origin[axis]) * inv_dir[axis]);
                    (a.min(b), a.max(b))
                };
                let slabs = [0, 1, 2].map(slab);
                let enter = slabs.iter().fold(f32::NEG_INFINITY, |most, slab| most.max(slab.0));
                let leave = slabs.iter().fold(f32::INFINITY, |least, slab| least.min(slab.1));
                (enter > 1e-4 && enter <= leave && enter < 1.0).then_some(enter)
            };
            let nearest = aabbs.iter().filter_map(enters).reduce(f32::min);
            assert_eq!(bvh.nearest(ray, 1.0).map(|found| found.0), nearest);
            assert_eq!(bvh.is_occluded(ray, 1.0), nearest.is_some());
            hits += u32::from(nearest.is_some());
        }
        assert!((500..4500).contains(&hits), "{hits}");
    }
}
