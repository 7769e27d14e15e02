//! Faces inside the room, put together to what they belong to.

use super::obstacles::fast_min;
use super::reflectance::to_f32;
use crate::geometry::{Face, FaceId, Rectangle, SAME_POINT_M, SURFACE_COUNT};
use std::collections::BTreeMap;

/// A piece of furniture, a cabinet or a screen that lies along the axes of the room. A ray from
/// outside meets the face where it comes in, so one slab test stands for up to six faces.
#[derive(Debug, Clone, Copy)]
pub(super) struct Aabb {
    pub(super) low: [f32; 3],
    pub(super) high: [f32; 3],
    /// The face through which a ray comes in, by its index among all, for twice the axis and one
    /// more when it comes from the high side.
    pub(super) faces: [u32; 6],
}

/// A rectangle that lies askew.
#[derive(Debug, Clone, Copy)]
pub(super) struct OrientedRect {
    pub(super) normal: [f32; 3],
    /// Distance of the plane from the origin along the normal.
    pub(super) offset: f32,
    pub(super) sides: [RectAxis; 2],
    pub(super) face: u32,
}

/// One way across a plate.
#[derive(Debug, Clone, Copy)]
pub(super) struct RectAxis {
    pub(super) along: [f32; 3],
    pub(super) middle: f32,
    pub(super) half: f32,
}

/// What belongs together: kind, and index in the scene.
type Owner = (u8, usize);

/// Sorts the faces inside the room into blocks, and plates for those that lie askew.
pub(super) fn build_primitives(faces: &[Face]) -> (Vec<Aabb>, Vec<OrientedRect>) {
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
    let (mut aabbs, mut rects) = (Vec::new(), Vec::new());
    for indices in owners.values() {
        if let Some(aabb) = Aabb::new(faces, indices) {
            aabbs.push(aabb);
        } else {
            rects.extend(indices.iter().map(|&i| OrientedRect::new(&faces[i].rectangle, i)));
        }
    }
    (aabbs, rects)
}

/// A face that is not there lies this far behind where it would be, metres: beyond the surface
/// against which it stands, so that no ray comes in through it.
const OPEN_SIDE_M: f64 = 1.0;

impl Aabb {
    /// From its faces; `None` if any lies askew or they are no box.
    fn new(faces: &[Face], indices: &[usize]) -> Option<Self> {
        let mut sides = [None; 6];
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for &index in indices {
            let rectangle = &faces[index].rectangle;
            let axis = axis_of(rectangle.normal.to_array())?;
            axis_of(rectangle.along.to_array())?;
            let side = 2 * axis + usize::from(rectangle.normal[axis] > 0.0);
            if sides[side].replace((SURFACE_COUNT + index) as u32).is_some() {
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
            low[axis] -= if sides[2 * axis].is_none() { OPEN_SIDE_M } else { 0.0 };
            high[axis] += if sides[2 * axis + 1].is_none() { OPEN_SIDE_M } else { 0.0 };
        }
        let faces = sides.map(|side| side.unwrap_or(some));
        Some(Self { low: low.map(to_f32), high: high.map(to_f32), faces })
    }
}

impl Aabb {
    /// The axis across the face by which a ray that meets the block comes in: of the three slabs the
    /// one that it comes into last.
    #[inline(always)]
    pub(super) fn entry_axis(&self, origin: [f32; 3], inv_dir: [f32; 3]) -> usize {
        let enter = |axis: usize| {
            let low = (self.low[axis] - origin[axis]) * inv_dir[axis];
            let high = (self.high[axis] - origin[axis]) * inv_dir[axis];
            fast_min(low, high)
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

impl OrientedRect {
    fn new(rectangle: &Rectangle, index: usize) -> Self {
        let Rectangle { centre, normal, along, half_along_m, half_across_m } = *rectangle;
        let side = |dir: glam::DVec3, half: f64| RectAxis {
            along: dir.to_array().map(to_f32),
            middle: to_f32(dir.dot(centre)),
            half: to_f32(half),
        };
        Self {
            normal: normal.to_array().map(to_f32),
            offset: to_f32(normal.dot(centre)),
            sides: [side(along, half_along_m), side(rectangle.across(), half_across_m)],
            face: (SURFACE_COUNT + index) as u32,
        }
    }
}
