//! What stands inside the room, asked by a whole packet of rays at once.

use super::blocks::{Block, Plate, sort};
use super::packet::{Column, Columns, Packet, WIDTH};
use super::tree::{Probe, Tree};
use crate::geometry::Face;

/// Everything inside the room as rays meet it: from the front of its faces only.
#[derive(Debug)]
pub(super) struct Inside {
    blocks: Vec<Block>,
    plates: Vec<Plate>,
    /// Over the blocks, where there are many.
    tree: Option<Tree>,
}

/// Something nearer than this is what a ray has just left, metres.
const JUST_LEFT_M: f32 = 1e-4;

/// Ways from the rays of a packet to one point, in columns.
#[derive(Debug)]
pub(super) struct Ways {
    /// Not unit vectors: they end at the point.
    pub(super) way: [Column<f32>; 3],
    pub(super) inverse: [Column<f32>; 3],
    pub(super) length_m: Column<f32>,
}

impl Inside {
    pub(super) fn new(faces: &[Face]) -> Self {
        let (blocks, plates) = sort(faces);
        Self { tree: Tree::over(&blocks), blocks, plates }
    }

    #[inline(always)]
    pub(super) fn is_empty(&self) -> bool {
        self.blocks.is_empty() && self.plates.is_empty()
    }

    /// Finds what each ray meets before the wall ahead of it.
    #[inline(always)]
    pub(super) fn find(&self, packet: &mut Packet) {
        if !self.blocks.is_empty() {
            self.find_blocks(packet);
        }
        for plate in &self.plates {
            find_plate(plate, packet);
        }
    }

    #[inline(always)]
    fn find_blocks(&self, packet: &mut Packet) {
        // One more than the number of the block met; 0 is none.
        let mut met = [0u32; WIDTH];
        let Packet { live, at, way, inverse, ahead_m, face, cos, .. } = packet;
        if let Some(tree) = &self.tree {
            for i in 0..*live {
                let probe = Probe { at: at.ray(i), inverse: inverse.ray(i), from: JUST_LEFT_M };
                if let Some((enter, block)) = tree.nearest(probe, ahead_m[i]) {
                    ahead_m[i] = enter;
                    met[i] = block + 1;
                }
            }
        } else {
            for first in (0..*live).step_by(LANES) {
                let (ahead_m, met) = (lanes_of(ahead_m, first), lanes_of(&mut met, first));
                nearest_of(&self.blocks, &Lines::of(at, inverse, first), ahead_m, met);
            }
        }
        for i in 0..*live {
            if met[i] > 0 {
                let block = &self.blocks[met[i] as usize - 1];
                let axis = block.axis_entered(at.ray(i), inverse.ray(i));
                let across = way[axis][i];
                face[i] = block.faces[2 * axis + usize::from(across < 0.0)];
                cos[i] = smaller(across.abs(), 1.0);
            }
        }
    }

    /// Takes away the gain of every way on which something stands.
    #[inline(always)]
    pub(super) fn block(&self, at: &[Column<f32>; 3], ways: &Ways, gain: &mut Column<f32>) {
        // Gains are multiplied, for a store under a mask is slow on many processors.
        let mut just_left = [0.0; WIDTH];
        for i in 0..WIDTH {
            just_left[i] = JUST_LEFT_M / ways.length_m[i];
        }
        if let Some(tree) = &self.tree {
            for i in 0..WIDTH {
                let (at, inverse) = (at.ray(i), ways.inverse.ray(i));
                let blocked =
                    gain[i] > 0.0 && tree.blocked(Probe { at, inverse, from: just_left[i] }, 1.0);
                gain[i] *= if blocked { 0.0 } else { 1.0 };
            }
        }
        if self.tree.is_none() {
            for first in (0..WIDTH).step_by(LANES) {
                let lines = Lines::of(at, &ways.inverse, first);
                let just_left = &just_left[first..first + LANES];
                take_hidden(&self.blocks, &lines, just_left, lanes_of(gain, first));
            }
        }
        for plate in &self.plates {
            for i in 0..WIDTH {
                let (toward, ahead, outside) = plate_reach(plate, at, &ways.way, i);
                let hit = (toward < 0.0) & (ahead > just_left[i]) & (ahead < 1.0);
                gain[i] *= if hit & (outside <= 0.0) { 0.0 } else { 1.0 };
            }
        }
    }
}

/// Rays looked at together: as many as a vector holds, so that what is known of them stays in
/// registers while block after block is asked.
const LANES: usize = 8;

/// So many rays of a packet.
struct Lines {
    at: [[f32; LANES]; 3],
    inverse: [[f32; LANES]; 3],
}

impl Lines {
    #[inline(always)]
    fn of(at: &[Column<f32>; 3], inverse: &[Column<f32>; 3], first: usize) -> Self {
        Self {
            at: [copied(&at[0], first), copied(&at[1], first), copied(&at[2], first)],
            inverse: [
                copied(&inverse[0], first),
                copied(&inverse[1], first),
                copied(&inverse[2], first),
            ],
        }
    }

    /// Where a ray comes into a block and leaves it again; it misses it if it leaves first.
    #[inline(always)]
    fn slabs(&self, block: &Block, lane: usize) -> (f32, f32) {
        let (x0, x1) = self.slab(block, 0, lane);
        let (y0, y1) = self.slab(block, 1, lane);
        let (z0, z1) = self.slab(block, 2, lane);
        (larger(larger(x0, y0), z0), smaller(smaller(x1, y1), z1))
    }

    /// No closure, for one that is called often is not always inlined.
    #[inline(always)]
    fn slab(&self, block: &Block, axis: usize, lane: usize) -> (f32, f32) {
        let (at, inverse) = (self.at[axis][lane], self.inverse[axis][lane]);
        let low = (block.low[axis] - at) * inverse;
        let high = (block.high[axis] - at) * inverse;
        (smaller(low, high), larger(low, high))
    }
}

#[inline(always)]
fn copied(column: &Column<f32>, first: usize) -> [f32; LANES] {
    let mut lanes = [0.0; LANES];
    lanes.copy_from_slice(&column[first..first + LANES]);
    lanes
}

#[inline(always)]
fn lanes_of<T>(column: &mut Column<T>, first: usize) -> &mut [T] {
    &mut column[first..first + LANES]
}

/// The nearest block of all before what is ahead. Choices are made by arithmetic, for a store under a
/// mask takes a dozen cycles.
#[inline(always)]
fn nearest_of(blocks: &[Block], lines: &Lines, ahead_m: &mut [f32], met: &mut [u32]) {
    let (mut near_m, mut nearest) = ([0.0; LANES], [0; LANES]);
    near_m.copy_from_slice(ahead_m);
    nearest.copy_from_slice(met);
    // Copies, or the compiler must take care that nothing written is a block or a ray.
    for (&block, number) in blocks.iter().zip(1u32..) {
        for lane in 0..LANES {
            let (enter, leave) = lines.slabs(&block, lane);
            let (ahead, before) = (near_m[lane], nearest[lane]);
            let hit = (enter > JUST_LEFT_M) & (enter <= leave) & (enter < ahead);
            near_m[lane] = smaller(if hit { enter } else { f32::INFINITY }, ahead);
            nearest[lane] = before ^ ((before ^ number) & u32::from(hit).wrapping_neg());
        }
    }
    ahead_m.copy_from_slice(&near_m);
    met.copy_from_slice(&nearest);
}

/// Takes the gain of ways, each as long as its direction, on which any block stands.
#[inline(always)]
fn take_hidden(blocks: &[Block], lines: &Lines, just_left: &[f32], gain: &mut [f32]) {
    let (mut left, mut from) = ([0.0; LANES], [0.0; LANES]);
    left.copy_from_slice(gain);
    from.copy_from_slice(just_left);
    for &block in blocks {
        for lane in 0..LANES {
            let (enter, leave) = lines.slabs(&block, lane);
            let hit = (enter > from[lane]) & (enter <= leave) & (enter < 1.0);
            left[lane] *= if hit { 0.0 } else { 1.0 };
        }
    }
    gain.copy_from_slice(&left);
}

#[inline(always)]
fn find_plate(plate: &Plate, packet: &mut Packet) {
    let Packet { at, way, ahead_m, face, cos, .. } = packet;
    for i in 0..WIDTH {
        let (toward, ahead, outside) = plate_reach(plate, at, way, i);
        let hit = (toward < 0.0) & (ahead > JUST_LEFT_M) & (outside <= 0.0) & (ahead < ahead_m[i]);
        ahead_m[i] = if hit { ahead } else { ahead_m[i] };
        face[i] = if hit { plate.face } else { face[i] };
        cos[i] = if hit { smaller(-toward, 1.0) } else { cos[i] };
    }
}

/// How a ray goes toward a plate's plane, how far it is, and how far beyond the rim it gets there.
#[inline(always)]
fn plate_reach(
    plate: &Plate,
    at: &[Column<f32>; 3],
    way: &[Column<f32>; 3],
    i: usize,
) -> (f32, f32, f32) {
    let (at, way) = (at.ray(i), way.ray(i));
    let toward = dot(plate.normal, way);
    let ahead = (plate.offset - dot(plate.normal, at)) / toward;
    let [one, other] = [0, 1].map(|s| {
        let side = &plate.sides[s];
        let place = dot(side.along, at) + dot(side.along, way) * ahead;
        (place - side.middle).abs() - side.half
    });
    (toward, ahead, larger(one, other))
}

#[inline(always)]
pub(super) fn dot(a: [f32; 3], b: [f32; 3]) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// As the processor does it, without the standard library's care for what is not a number.
#[inline(always)]
pub(super) fn smaller(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// The same for the larger.
#[inline(always)]
pub(super) fn larger(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}
