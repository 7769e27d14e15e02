//! Many blocks, of which a ray is asked only for those near its way.

use super::blocks::Block;
use super::inside::{larger, smaller};
use bvh::aabb::{Aabb, Bounded};
use bvh::bounding_hierarchy::BHShape;
use bvh::bvh::{Bvh, BvhNode};
use nalgebra::Point3;

/// A bounding-volume tree over blocks, laid out for rays in single precision: the boxes of both
/// children stand side by side in a node, and the box of a leaf is the block itself.
#[derive(Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
}

/// Two children: their boxes and where they are.
#[derive(Debug, Clone, Copy)]
struct Node {
    low: [[f32; 2]; 3],
    high: [[f32; 2]; 3],
    child: [Child; 2],
}

#[derive(Debug, Clone, Copy)]
enum Child {
    /// A node, by its index.
    Node(u32),
    /// A block, by its index.
    Block(u32),
}

/// A ray, or the way to a listener, as the tree asks it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Probe {
    pub(super) at: [f32; 3],
    /// One over each component of the direction.
    pub(super) inverse: [f32; 3],
    /// Only what lies farther than this counts, in lengths of the direction.
    pub(super) from: f32,
}

/// From so many blocks on a tree is quicker than asking every block, a packet of rays at a time.
const MANY: usize = 64;

/// Nodes that wait at most. Deeper trees are not built; surface-area trees over thousands of blocks
/// are some twenty deep.
const STACK: usize = 64;

impl Tree {
    /// A tree where it pays; `None` for a few blocks, which are quicker asked all.
    pub(super) fn over(blocks: &[Block]) -> Option<Self> {
        if blocks.len() < MANY {
            return None;
        }
        let leaf = |(index, block): (usize, &Block)| Leaf { index, block: *block, node: 0 };
        let mut leaves: Vec<Leaf> = blocks.iter().enumerate().map(leaf).collect();
        let built = Bvh::build(&mut leaves);
        let mut nodes = Vec::new();
        let deepest = lay_out(&built.nodes, &leaves, 0, &mut nodes);
        (deepest < STACK && !nodes.is_empty()).then_some(Self { nodes })
    }

    /// The nearest block that a ray comes into within a distance: how far, which block, and the axis
    /// across the face it comes in by.
    #[inline(always)]
    pub(super) fn nearest(&self, probe: Probe, within: f32) -> Option<(f32, u32, u32)> {
        let mut found = None;
        let mut nearest = within;
        self.walk(probe, within, |enter, leave, axis, block| {
            if enter > probe.from && enter <= leave && enter < nearest {
                nearest = enter;
                found = Some((enter, block, axis));
            }
            nearest
        });
        found
    }

    /// Whether a ray comes into any block within a distance.
    #[inline(always)]
    pub(super) fn blocked(&self, probe: Probe, within: f32) -> bool {
        let mut blocked = false;
        self.walk(probe, within, |enter, leave, _, _| {
            blocked |= enter > probe.from && enter <= leave && enter < within;
            // Nothing is nearer than this: the walk ends.
            if blocked { f32::NEG_INFINITY } else { within }
        });
        blocked
    }

    /// Visits blocks near the way of a ray, the nearer ones first, as long as they are within `reach`
    /// and then within what `meet` answers.
    #[inline(always)]
    fn walk(&self, probe: Probe, mut reach: f32, mut meet: impl FnMut(f32, f32, u32, u32) -> f32) {
        let mut waiting = [(0u32, f32::NEG_INFINITY); STACK];
        let mut count = 1;
        while count > 0 {
            count -= 1;
            let (number, enters) = waiting[count];
            if enters >= reach {
                continue;
            }
            let node = &self.nodes[number as usize];
            let mut next = [None, None];
            for side in 0..2 {
                let (enter, leave, axis) = node.slabs(probe, side);
                if enter > leave || leave < 0.0 || enter >= reach {
                    continue;
                }
                match node.child[side] {
                    Child::Block(block) => reach = meet(enter, leave, axis, block),
                    Child::Node(child) => next[side] = Some((child, enter)),
                }
            }
            // The nearer one last, so that it is next.
            if let [Some(first), Some(second)] = next
                && first.1 < second.1
            {
                next.swap(0, 1);
            }
            for (child, enter) in next.into_iter().flatten() {
                waiting[count] = (child, enter);
                count += 1;
            }
        }
    }
}

impl Node {
    /// Where a ray comes into a child's box and leaves it, and the axis across the face it comes in
    /// by.
    #[inline(always)]
    fn slabs(&self, probe: Probe, side: usize) -> (f32, f32, u32) {
        let [(x0, x1), (y0, y1), (z0, z1)] = [0, 1, 2].map(|axis| {
            let low = (self.low[axis][side] - probe.at[axis]) * probe.inverse[axis];
            let high = (self.high[axis][side] - probe.at[axis]) * probe.inverse[axis];
            (smaller(low, high), larger(low, high))
        });
        let (axis, enter) = if y0 > x0 { (1, y0) } else { (0, x0) };
        let (axis, enter) = if z0 > enter { (2, z0) } else { (axis, enter) };
        (enter, smaller(smaller(x1, y1), z1), axis)
    }
}

/// A block as the tree is built over it.
struct Leaf {
    index: usize,
    block: Block,
    node: usize,
}

impl Bounded<f32, 3> for Leaf {
    fn aabb(&self) -> Aabb<f32, 3> {
        Aabb::with_bounds(Point3::from(self.block.low), Point3::from(self.block.high))
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
fn lay_out(built: &[BvhNode<f32, 3>], leaves: &[Leaf], at: usize, nodes: &mut Vec<Node>) -> usize {
    let BvhNode::Node { child_l_index, child_l_aabb, child_r_index, child_r_aabb, .. } = built[at]
    else {
        return 0;
    };
    let place = nodes.len();
    let boxes = [child_l_aabb, child_r_aabb];
    nodes.push(Node {
        low: [0, 1, 2].map(|axis| boxes.map(|aabb| aabb.min[axis])),
        high: [0, 1, 2].map(|axis| boxes.map(|aabb| aabb.max[axis])),
        child: [Child::Block(0); 2],
    });
    let mut deepest = 0;
    for (side, index) in [child_l_index, child_r_index].into_iter().enumerate() {
        nodes[place].child[side] = match built[index] {
            BvhNode::Leaf { shape_index, .. } => Child::Block(leaves[shape_index].index as u32),
            BvhNode::Node { .. } => {
                let child = nodes.len() as u32;
                deepest = deepest.max(lay_out(built, leaves, index, nodes));
                Child::Node(child)
            }
        };
    }
    deepest + 1
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
        let blocks: Vec<Block> = (0..500)
            .map(|_| {
                let low = point();
                let size = point();
                let high = [0, 1, 2].map(|axis| low[axis] + 0.04 * size[axis]);
                Block { low, high, faces: [0; 6] }
            })
            .collect();
        let tree = Tree::over(&blocks).expect("enough for a tree");
        let mut met = 0;
        for _ in 0..5000 {
            let (at, to) = (point(), point());
            let inverse = [0, 1, 2].map(|axis| 1.0 / (to[axis] - at[axis]));
            let probe = Probe { at, inverse, from: 1e-4 };
            let enters = |block: &Block| {
                let slab = |axis: usize| {
                    let [a, b] = [block.low[axis], block.high[axis]]
                        .map(|edge| (edge - at[axis]) * inverse[axis]);
                    (a.min(b), a.max(b))
                };
                let slabs = [0, 1, 2].map(slab);
                let enter = slabs.iter().fold(f32::NEG_INFINITY, |most, slab| most.max(slab.0));
                let leave = slabs.iter().fold(f32::INFINITY, |least, slab| least.min(slab.1));
                (enter > 1e-4 && enter <= leave && enter < 1.0).then_some(enter)
            };
            let nearest = blocks.iter().filter_map(enters).reduce(f32::min);
            assert_eq!(tree.nearest(probe, 1.0).map(|found| found.0), nearest);
            assert_eq!(tree.blocked(probe, 1.0), nearest.is_some());
            met += u32::from(nearest.is_some());
        }
        assert!((500..4500).contains(&met), "{met}");
    }
}
