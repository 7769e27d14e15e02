//! Many blocks, of which a ray is asked only for those near its way.

use super::blocks::Block;
use super::inside::{larger, smaller};
use bvh::aabb::{Aabb, Bounded};
use bvh::bounding_hierarchy::BHShape;
use bvh::bvh::{Bvh, BvhNode};
use nalgebra::Point3;

/// A bounding-volume tree over blocks, laid out for rays in single precision: the boxes of up to
/// eight children stand side by side in a node and are tested at once, and the box of a leaf is the
/// block itself.
#[derive(Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
}

/// Children of a node at most: as many as a vector holds.
const WAYS: usize = 8;

/// Children: their boxes and where they are.
#[derive(Debug, Clone, Copy)]
struct Node {
    low: [[f32; WAYS]; 3],
    high: [[f32; WAYS]; 3],
    child: [Child; WAYS],
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
/// are some six deep with eight children a node.
const STACK: usize = 128;

/// Each level of the tree leaves up to seven waiting while the eighth is visited.
const DEEPEST: usize = (STACK - WAYS) / (WAYS - 1);

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
        (deepest <= DEEPEST && !nodes.is_empty()).then_some(Self { nodes })
    }

    /// The nearest block that a ray comes into within a distance: how far, and which block.
    #[inline(always)]
    pub(super) fn nearest(&self, probe: Probe, within: f32) -> Option<(f32, u32)> {
        let mut found = None;
        let mut nearest = within;
        self.walk(probe, within, |enter, block| {
            if enter < nearest {
                nearest = enter;
                found = Some((enter, block));
            }
            nearest
        });
        found
    }

    /// Whether a ray comes into any block within a distance.
    #[inline(always)]
    pub(super) fn blocked(&self, probe: Probe, within: f32) -> bool {
        let mut blocked = false;
        self.walk(probe, within, |_, _| {
            blocked = true;
            // Nothing is nearer than this: the walk ends.
            f32::NEG_INFINITY
        });
        blocked
    }

    /// Visits blocks that a ray comes into, roughly the nearer ones first, as long as they are within
    /// `reach` and then within what `meet` answers.
    #[inline(always)]
    fn walk(&self, probe: Probe, mut reach: f32, mut meet: impl FnMut(f32, u32) -> f32) {
        let mut waiting = [(0u32, f32::NEG_INFINITY); STACK];
        let mut count = 1;
        while count > 0 {
            count -= 1;
            let (number, enters) = waiting[count];
            if enters >= reach {
                continue;
            }
            let node = &self.nodes[number as usize];
            let (enters, mut met) = node.slabs(probe, reach);
            let first = count;
            while met != 0 {
                let way = met.trailing_zeros() as usize / 8;
                met &= met - 1;
                let enter = enters[way];
                match node.child[way] {
                    Child::Block(block) => {
                        if enter > probe.from {
                            reach = meet(enter, block);
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
const NOWHERE_M: f32 = 1e30;

impl Node {
    const EMPTY: Self = Self {
        low: [[NOWHERE_M; WAYS]; 3],
        high: [[NOWHERE_M; WAYS]; 3],
        child: [Child::Block(0); WAYS],
    };

    /// Where a ray comes into each child's box, and in each byte whether it does within a distance.
    #[inline(always)]
    fn slabs(&self, probe: Probe, within: f32) -> ([f32; WAYS], u64) {
        let mut enters = [0.0; WAYS];
        let mut met = [false; WAYS];
        for way in 0..WAYS {
            let (x0, x1) = self.slab(probe, 0, way);
            let (y0, y1) = self.slab(probe, 1, way);
            let (z0, z1) = self.slab(probe, 2, way);
            let enter = larger(larger(x0, y0), z0);
            let leave = smaller(smaller(x1, y1), z1);
            enters[way] = enter;
            met[way] = (enter <= leave) & (leave >= 0.0) & (enter < within);
        }
        (enters, u64::from_le_bytes(met.map(u8::from)))
    }

    #[inline(always)]
    fn slab(&self, probe: Probe, axis: usize, way: usize) -> (f32, f32) {
        let low = (self.low[axis][way] - probe.at[axis]) * probe.inverse[axis];
        let high = (self.high[axis][way] - probe.at[axis]) * probe.inverse[axis];
        (smaller(low, high), larger(low, high))
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
    let children = gather(built, at);
    if children.is_empty() {
        return 0;
    }
    let place = nodes.len();
    nodes.push(Node::EMPTY);
    let mut deepest = 0;
    for (way, (aabb, index)) in children.into_iter().enumerate() {
        let child = match built[index] {
            BvhNode::Leaf { shape_index, .. } => Child::Block(leaves[shape_index].index as u32),
            BvhNode::Node { .. } => {
                let child = nodes.len() as u32;
                deepest = deepest.max(lay_out(built, leaves, index, nodes));
                Child::Node(child)
            }
        };
        let node = &mut nodes[place];
        for axis in 0..3 {
            node.low[axis][way] = aabb.min[axis];
            node.high[axis][way] = aabb.max[axis];
        }
        node.child[way] = child;
    }
    deepest + 1
}

/// Up to eight descendants that stand for all below a node of the two-way tree: always the one with
/// the largest surface, which most rays meet, gives way to its own two children.
fn gather(built: &[BvhNode<f32, 3>], at: usize) -> Vec<(Aabb<f32, 3>, usize)> {
    let pair = |index: usize| match built[index] {
        BvhNode::Node { child_l_index, child_l_aabb, child_r_index, child_r_aabb, .. } => {
            Some([(child_l_aabb, child_l_index), (child_r_aabb, child_r_index)])
        }
        BvhNode::Leaf { .. } => None,
    };
    let mut children: Vec<_> = pair(at).into_iter().flatten().collect();
    while children.len() < WAYS {
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
