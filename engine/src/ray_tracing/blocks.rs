//! Faces inside the room, put together to what they belong to.

use super::inside::smaller;
use super::skin::single;
use crate::geometry::{Face, FaceId, Rectangle, SAME_POINT_M, SURFACES};
use std::collections::BTreeMap;

/// A piece of furniture, a cabinet or a screen that lies along the axes of the room. A ray from
/// outside meets the face where it comes in, so one slab test stands for up to six faces.
#[derive(Debug, Clone, Copy)]
pub(super) struct Block {
    pub(super) low: [f32; 3],
    pub(super) high: [f32; 3],
    /// The face through which a ray comes in, by its index among all, for twice the axis and one
    /// more when it comes from the high side.
    pub(super) faces: [u32; 6],
}

/// A rectangle that lies askew.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plate {
    pub(super) normal: [f32; 3],
    /// Distance of the plane from the origin along the normal.
    pub(super) offset: f32,
    pub(super) sides: [Side; 2],
    pub(super) face: u32,
}

/// One way across a plate.
#[derive(Debug, Clone, Copy)]
pub(super) struct Side {
    pub(super) along: [f32; 3],
    pub(super) middle: f32,
    pub(super) half: f32,
}

/// What belongs together: kind, and index in the scene.
type Owner = (u8, usize);

/// Sorts the faces inside the room into blocks, and plates for those that lie askew.
pub(super) fn sort(faces: &[Face]) -> (Vec<Block>, Vec<Plate>) {
    let mut owners: BTreeMap<Owner, Vec<usize>> = BTreeMap::new();
    for (index, face) in faces.iter().enumerate() {
        let owner = match face.id {
            FaceId::Surface(surface) => (0, surface as usize),
            FaceId::Screen { index, .. } => (1, index),
            FaceId::Furniture { index, .. } => (2, index),
            FaceId::Cabinet { speaker, .. } => (3, speaker),
        };
        owners.entry(owner).or_default().push(index);
    }
    let (mut blocks, mut plates) = (Vec::new(), Vec::new());
    for indices in owners.values() {
        if let Some(block) = Block::new(faces, indices) {
            blocks.push(block);
        } else {
            plates.extend(indices.iter().map(|&i| Plate::new(&faces[i].rectangle, i)));
        }
    }
    (blocks, plates)
}

/// A face that is not there lies this far behind where it would be, metres: beyond the surface
/// against which it stands, so that no ray comes in through it.
const AWAY_M: f64 = 1.0;

impl Block {
    /// From its faces; `None` if any lies askew or they are no box.
    fn new(faces: &[Face], indices: &[usize]) -> Option<Self> {
        let mut sides = [None; 6];
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for &index in indices {
            let rectangle = &faces[index].rectangle;
            let axis = axis_of(rectangle.normal.to_array())?;
            axis_of(rectangle.along.to_array())?;
            let side = 2 * axis + usize::from(rectangle.normal[axis] > 0.0);
            if sides[side].replace((SURFACES + index) as u32).is_some() {
                return None;
            }
            for corner in rectangle.corners() {
                for axis in 0..3 {
                    low[axis] = low[axis].min(corner[axis]);
                    high[axis] = high[axis].max(corner[axis]);
                }
            }
        }
        let some = sides.iter().flatten().next().copied()?;
        // A screen has no faces at its rim; rays do not come in there either.
        let solid = (0..3).all(|axis| high[axis] - low[axis] > SAME_POINT_M);
        for axis in (0..3).filter(|_| solid) {
            low[axis] -= if sides[2 * axis].is_none() { AWAY_M } else { 0.0 };
            high[axis] += if sides[2 * axis + 1].is_none() { AWAY_M } else { 0.0 };
        }
        let faces = sides.map(|side| side.unwrap_or(some));
        Some(Self { low: low.map(single), high: high.map(single), faces })
    }
}

impl Block {
    /// The axis across the face by which a ray that meets the block comes in: of the three slabs the
    /// one that it comes into last.
    #[inline(always)]
    pub(super) fn axis_entered(&self, at: [f32; 3], inverse: [f32; 3]) -> usize {
        let enter = |axis: usize| {
            let low = (self.low[axis] - at[axis]) * inverse[axis];
            let high = (self.high[axis] - at[axis]) * inverse[axis];
            smaller(low, high)
        };
        let (x, y, z) = (enter(0), enter(1), enter(2));
        let (axis, last) = if y > x { (1, y) } else { (0, x) };
        if z > last { 2 } else { axis }
    }
}

/// The axis along which a unit vector lies.
fn axis_of(v: [f64; 3]) -> Option<usize> {
    (0..3).find(|&axis| 1.0 - v[axis].abs() < 1e-12)
}

impl Plate {
    fn new(rectangle: &Rectangle, index: usize) -> Self {
        let Rectangle { centre, normal, along, half_along_m, half_across_m } = *rectangle;
        let side = |way: glam::DVec3, half: f64| Side {
            along: way.to_array().map(single),
            middle: single(way.dot(centre)),
            half: single(half),
        };
        Self {
            normal: normal.to_array().map(single),
            offset: single(normal.dot(centre)),
            sides: [side(along, half_along_m), side(rectangle.across(), half_across_m)],
            face: (SURFACES + index) as u32,
        }
    }
}
