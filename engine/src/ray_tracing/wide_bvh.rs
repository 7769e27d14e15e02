//! Many blocks, of which a ray is asked only for those near its way.

use super::obstacles::{fast_max, fast_min};
use super::primitives::Aabb;
use bvh::aabb::{Aabb as Bounds, Bounded};
use bvh::bounding_hierarchy::BHShape;
use bvh::bvh::{Bvh, BvhNode};
use nalgebra::Point3;

/// A bounding-volume tree over blocks, laid out for rays in to_f32 precision: the boxes of up to
/// eight children stand side by side in a node and are tested at once, and the box of a leaf is the
/// block itself.
#[derive(Debug)]
pub(super) struct WideBvh {
    nodes: Vec<Node>,
}

/// Children of a node at most: as many as a vector is_in_image_list.
const ARITY: usize = 8;

/// Children: their boxes and where they are.
#[derive(Debug, Clone, Copy)]
struct Node {
    low: [[f32; ARITY]; 3],
    high: [[f32; ARITY]; 3],
    child: [Child; ARITY],
}

#[derive(Debug, Clone, Copy)]
enum Child {
    /// A node, by its index.
    Node(u32),
    /// A block, by its index.
    Leaf(u32),
}

/// A ray, or the way to a listener, as the tree asks it.
#[derive(Debug, Clone, Copy)]
pub(super) struct BoundedRay {
    pub(super) origin: [f32; 3],
    /// One over each component of the direction.
    pub(super) inv_dir: [f32; 3],
    /// Only what lies farther than this counts, in lengths of the direction.
    pub(super) t_min: f32,
}

/// From so many blocks on a tree is quicker than asking every block, a packet of rays at a time.
const MIN_LEAVES: usize = 64;

/// Nodes that wait at most. Deeper trees are not built; surface-area trees over thousands of blocks
/// are some six deep with eight children a node.
const STACK_SIZE: usize = 128;

/// Each level of the tree leaves up to seven waiting while the eighth is visited.
const MAX_DEPTH: usize = (STACK_SIZE - ARITY) / (ARITY - 1);

impl WideBvh {
    /// A tree where it pays; `None` for a few blocks, which are quicker asked all.
    pub(super) fn over(aabbs: &[Aabb]) -> Option<Self> {
        if aabbs.len() < MIN_LEAVES {
            return None;
        }
        let leaf = |(index, aabb): (usize, &Aabb)| Leaf { index, aabb: *aabb, node: 0 };
        let mut leaves: Vec<Leaf> = aabbs.iter().enumerate().map(leaf).collect();
        let binary = Bvh::build(&mut leaves);
        let mut nodes = Vec::new();
        let deepest = flatten(&binary.nodes, &leaves, 0, &mut nodes);
        (deepest <= MAX_DEPTH && !nodes.is_empty()).then_some(Self { nodes })
    }

    /// The nearest block that a ray comes into within a distance: how far, and which block.
    #[inline(always)]
    pub(super) fn nearest(&self, ray: BoundedRay, t_max: f32) -> Option<(f32, u32)> {
        let mut found = None;
        let mut nearest = t_max;
        self.traverse(ray, t_max, |enter, aabb| {
            if enter < nearest {
                nearest = enter;
                found = Some((enter, aabb));
            }
            nearest
        });
        found
    }

    /// Whether a ray comes into any block within a distance.
    #[inline(always)]
    pub(super) fn is_occluded(&self, ray: BoundedRay, t_max: f32) -> bool {
        let mut is_occluded = false;
        self.traverse(ray, t_max, |_, _| {
            is_occluded = true;
            // Nothing is nearer than this: the walk ends.
            f32::NEG_INFINITY
        });
        is_occluded
    }

    /// Visits blocks that a ray comes into, roughly the nearer ones first, as long as they are within
    /// `reach` and then within what `meet` answers.
    #[inline(always)]
    fn traverse(&self, ray: BoundedRay, mut t_max: f32, mut meet: impl FnMut(f32, u32) -> f32) {
        let mut waiting = [(0u32, f32::NEG_INFINITY); STACK_SIZE];
        let mut count = 1;
        while count > 0 {
            count -= 1;
            let (number, enters) = waiting[count];
            if enters >= t_max {
                continue;
            }
            let node = &self.nodes[number as usize];
            let (enters, mut met) = node.slabs(ray, t_max);
            let first = count;
            while met != 0 {
                let slot = met.trailing_zeros() as usize / 8;
                met &= met - 1;
                let enter = enters[slot];
                match node.child[slot] {
                    Child::Leaf(aabb) => {
                        if enter > ray.t_min {
                            t_max = meet(enter, aabb);
                        }
                    }
                    Child::Node(child) => {
                        // The nearest last, so that it is next.
                        let mut place = count;
                        while place > first && waiting[place - 1].1 < enter {
                            waiting[place] = waiting[place - 1];
                            place -= 1;
                        }
                        waiting[place] = (child, enter);
                        count += 1;
                    }
                }
            }
        }
    }
}

/// An empty place among the children is a point that no ray reaches, metres.
const UNREACHABLE_M: f32 = 1e30;

impl Node {
    const EMPTY: Self = Self {
        low: [[UNREACHABLE_M; ARITY]; 3],
        high: [[UNREACHABLE_M; ARITY]; 3],
        child: [Child::Leaf(0); ARITY],
    };

    /// Where a ray comes into each child's box, and in each byte whether it does within a distance.
    #[inline(always)]
    fn slabs(&self, ray: BoundedRay, t_max: f32) -> ([f32; ARITY], u64) {
        let mut enters = [0.0; ARITY];
        let mut met = [false; ARITY];
        for slot in 0..ARITY {
            let (x0, x1) = self.slab(ray, 0, slot);
            let (y0, y1) = self.slab(ray, 1, slot);
            let (z0, z1) = self.slab(ray, 2, slot);
            let enter = fast_max(fast_max(x0, y0), z0);
            let leave = fast_min(fast_min(x1, y1), z1);
            enters[slot] = enter;
            met[slot] = (enter <= leave) & (leave >= 0.0) & (enter < t_max);
        }
        (enters, u64::from_le_bytes(met.map(u8::from)))
    }

    #[inline(always)]
    fn slab(&self, ray: BoundedRay, axis: usize, slot: usize) -> (f32, f32) {
        let low = (self.low[axis][slot] - ray.origin[axis]) * ray.inv_dir[axis];
        let high = (self.high[axis][slot] - ray.origin[axis]) * ray.inv_dir[axis];
        (fast_min(low, high), fast_max(low, high))
    }
}

/// A block as the tree is built over it.
struct Leaf {
    index: usize,
    aabb: Aabb,
    node: usize,
}

impl Bounded<f32, 3> for Leaf {
    fn aabb(&self) -> Bounds<f32, 3> {
        Bounds::with_bounds(Point3::from(self.aabb.low), Point3::from(self.aabb.high))
    }
}

impl BHShape<f32, 3> for Leaf {
    fn set_bh_node_index(&mut self, index: usize) {
        self.node = index;
    }

    fn bh_node_index(&self) -> usize {
        self.node
    }
}

/// Lays out the tree below a node that has children; how deep it goes. Nothing for a leaf.
fn flatten(
    binary: &[BvhNode<f32, 3>],
    leaves: &[Leaf],
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
    for (slot, (aabb, index)) in children.into_iter().enumerate() {
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
            node.low[axis][slot] = aabb.min[axis];
            node.high[axis][slot] = aabb.max[axis];
        }
        node.child[slot] = child;
    }
    deepest + 1
}

/// Up to eight descendants that stand for all below a node of the two-way tree: always the one with
/// the largest surface, which most rays meet, gives way to its own two children.
fn collapse(binary: &[BvhNode<f32, 3>], root: usize) -> Vec<(Bounds<f32, 3>, usize)> {
    let pair = |index: usize| match binary[index] {
        BvhNode::Node { child_l_index, child_l_aabb, child_r_index, child_r_aabb, .. } => {
            Some([(child_l_aabb, child_l_index), (child_r_aabb, child_r_index)])
        }
        BvhNode::Leaf { .. } => None,
    };
    let mut children: Vec<_> = pair(root).into_iter().flatten().collect();
    while children.len() < ARITY {
        let opens = |place: &usize| pair(children[*place].1).is_some();
        let surface = |place: usize| children[place].0.surface_area();
        let largest =
            (0..children.len()).filter(opens).max_by(|&a, &b| surface(a).total_cmp(&surface(b)));
        let Some(place) = largest else { break };
        let (_, index) = children.swap_remove(place);
        children.extend(pair(index).into_iter().flatten());
    }
    children
}

#[cfg(test)]
mod tests {
    #![expect(clippy::expect_used, reason = "a test may stop")]

    use super::super::stream::Stream;
    use super::*;

    /// The tree answers as a loop over all blocks does.
    #[test]
    fn a_tree_is_a_loop_over_all() {
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
        let bvh = WideBvh::over(&aabbs).expect("enough for a bvh");
        let mut met = 0;
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
            met += u32::from(nearest.is_some());
        }
        assert!((500..4500).contains(&met), "{met}");
    }
}
