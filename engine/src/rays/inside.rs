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
    /// The faces of all blocks in a row, behind six places for none.
    entries: Vec<u32>,
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
        let entries = [0; 6].into_iter().chain(blocks.iter().flat_map(|block| block.faces));
        Self { entries: entries.collect(), tree: Tree::over(&blocks), blocks, plates }
    }

    #[inline(always)]
    pub(super) fn is_empty(&self) -> bool {
        self.blocks.is_empty() && self.plates.is_empty()
    }

    /// The blocks that are asked one after the other: none where there is a tree.
    #[inline(always)]
    fn few(&self) -> &[Block] {
        if self.tree.is_some() { &[] } else { &self.blocks }
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
        // Three times the number of the block met, and the axis across the face: 0 is none.
        let mut met = [0u32; WIDTH];
        let Packet { live, at, way, inverse, ahead_m, face, cos, .. } = packet;
        if let Some(tree) = &self.tree {
            for i in 0..*live {
                let probe = Probe { at: at.ray(i), inverse: inverse.ray(i), from: JUST_LEFT_M };
                if let Some((enter, block, axis)) = tree.nearest(probe, ahead_m[i]) {
                    ahead_m[i] = enter;
                    met[i] = 3 * (block + 1) + axis;
                }
            }
        }
        for (&block, number) in self.few().iter().zip(1u32..) {
            for i in 0..WIDTH {
                let [(x0, x1), (y0, y1), (z0, z1)] = slabs(&block, at, inverse, i);
                let (axis, enter) = if y0 > x0 { (3 * number + 1, y0) } else { (3 * number, x0) };
                let (axis, enter) = if z0 > enter { (3 * number + 2, z0) } else { (axis, enter) };
                let leave = smaller(smaller(x1, y1), z1);
                let hit = (enter > JUST_LEFT_M) & (enter <= leave) & (enter < ahead_m[i]);
                ahead_m[i] = if hit { enter } else { ahead_m[i] };
                met[i] = if hit { axis } else { met[i] };
            }
        }
        for i in 0..WIDTH {
            let axis = met[i] % 3;
            let across = if axis == 1 { way[1][i] } else { way[0][i] };
            let across = if axis == 2 { way[2][i] } else { across };
            cos[i] = if met[i] > 0 { smaller(across.abs(), 1.0) } else { cos[i] };
            met[i] = 2 * met[i] + u32::from(across < 0.0);
        }
        for i in 0..WIDTH {
            let entered = self.entries[met[i] as usize];
            face[i] = if met[i] < 6 { face[i] } else { entered };
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
        for &block in self.few() {
            for i in 0..WIDTH {
                let [(x0, x1), (y0, y1), (z0, z1)] = slabs(&block, at, &ways.inverse, i);
                let enter = larger(larger(x0, y0), z0);
                let leave = smaller(smaller(x1, y1), z1);
                let hit = (enter > just_left[i]) & (enter <= leave) & (enter < 1.0);
                gain[i] *= if hit { 0.0 } else { 1.0 };
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

/// Where a ray comes into a block's slab and leaves it again, on each axis.
#[inline(always)]
fn slabs(
    block: &Block,
    at: &[Column<f32>; 3],
    inverse: &[Column<f32>; 3],
    i: usize,
) -> [(f32, f32); 3] {
    [0, 1, 2].map(|axis| {
        let low = (block.low[axis] - at[axis][i]) * inverse[axis][i];
        let high = (block.high[axis] - at[axis][i]) * inverse[axis][i];
        (smaller(low, high), larger(low, high))
    })
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
