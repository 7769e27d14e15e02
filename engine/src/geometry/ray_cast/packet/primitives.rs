//! Primitives of ray packets: boxes along the axes of the room, and rectangles of any orientation.

use super::ray_packet::{RayPacket, VectorColumns, WIDTH};
use crate::geometry::face::{Face, FaceId, SURFACE_COUNT};
use crate::geometry::{Rectangle, SAME_POINT_M};
use crate::numerics::single_precision::{dot, fast_max, fast_min, to_f32};
use glam::DVec3;
use std::collections::BTreeMap;

/// Least hit distance, metres: what is nearer is the face that a ray has just left.
pub(super) const MIN_HIT_M: f32 = 1e-4;

/// Axis-aligned box of a piece of furniture, a cabinet or a screen. A ray from outside hits the face
/// through which it enters, so one slab test stands for up to six faces.
#[derive(Debug, Clone, Copy)]
pub(super) struct Aabb {
    pub(super) low: [f32; 3],
    pub(super) high: [f32; 3],
    /// Faces of entry, by index among all faces: twice the axis, and one more on the high side.
    pub(super) faces: [u32; 6],
}

/// Rectangle that is not along the axes, or not part of a box.
#[derive(Debug, Clone, Copy)]
pub(super) struct OrientedRect {
    normal: [f32; 3],
    /// Distance of the plane from the origin along the normal.
    offset: f32,
    axes: [RectAxis; 2],
    face: u32,
}

/// Extent of a rectangle along one of its sides.
#[derive(Debug, Clone, Copy)]
struct RectAxis {
    /// Unit vector along the side.
    dir: [f32; 3],
    /// Projection of the centre on it.
    centre: f32,
    /// Half the side, metres.
    half_m: f32,
}

/// Crossing of a line with the plane of a rectangle.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlaneCrossing {
    /// Direction along the normal: negative toward the front.
    pub(super) slope: f32,
    /// Distance in lengths of the direction.
    pub(super) t: f32,
    /// Distance of the crossing beyond the rim, metres; negative on the rectangle.
    pub(super) outside_m: f32,
}

/// Kind of a body and its index in the scene.
type BodyKey = (u8, usize);

/// Boxes of all bodies that are along the axes, and rectangles of the others.
pub(super) fn build_primitives(faces: &[Face]) -> (Vec<Aabb>, Vec<OrientedRect>) {
    let mut bodies: BTreeMap<BodyKey, Vec<usize>> = BTreeMap::new();
    for (index, face) in faces.iter().enumerate() {
        let key = match face.id {
            FaceId::Surface(surface) => (0, surface as usize),
            FaceId::Screen { index, .. } => (1, index),
            FaceId::Furniture { index, .. } => (2, index),
            FaceId::Cabinet { speaker, .. } => (3, speaker.index()),
        };
        bodies.entry(key).or_default().push(index);
    }
    let (mut aabbs, mut rects) = (Vec::new(), Vec::new());
    for indices in bodies.values() {
        if let Some(aabb) = Aabb::new(faces, indices) {
            aabbs.push(aabb);
        } else {
            rects.extend(indices.iter().map(|&i| OrientedRect::new(&faces[i].rectangle, i)));
        }
    }
    (aabbs, rects)
}

/// A missing side is moved out by this much, metres: beyond the surface of the room against which the
/// body stands, so that no ray enters through it.
const MISSING_SIDE_M: f64 = 1.0;

impl Aabb {
    /// From the faces of one body; `None` if any is not along the axes or they are no box.
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
        let any_side = sides.iter().flatten().next().copied()?;
        // A screen has no faces at its rim; rays do not enter there either.
        let is_solid = (0..3).all(|axis| high[axis] - low[axis] > SAME_POINT_M);
        for axis in (0..3).filter(|_| is_solid) {
            low[axis] -= if sides[2 * axis].is_none() { MISSING_SIDE_M } else { 0.0 };
            high[axis] += if sides[2 * axis + 1].is_none() { MISSING_SIDE_M } else { 0.0 };
        }
        let faces = sides.map(|side| side.unwrap_or(any_side));
        Some(Self { low: low.map(to_f32), high: high.map(to_f32), faces })
    }

    /// Axis across the face through which a ray enters: of the three slabs the last one entered.
    #[inline(always)]
    pub(super) fn entry_axis(&self, origin: [f32; 3], inv_dir: [f32; 3]) -> usize {
        let enter_t = |axis: usize| {
            let low = (self.low[axis] - origin[axis]) * inv_dir[axis];
            let high = (self.high[axis] - origin[axis]) * inv_dir[axis];
            fast_min(low, high)
        };
        let (x, y, z) = (enter_t(0), enter_t(1), enter_t(2));
        let (axis, last) = if y > x { (1, y) } else { (0, x) };
        if z > last { 2 } else { axis }
    }
}

/// Axis along which a unit vector lies, if any.
fn axis_of(v: [f64; 3]) -> Option<usize> {
    (0..3).find(|&axis| 1.0 - v[axis].abs() < 1e-12)
}

impl OrientedRect {
    fn new(rectangle: &Rectangle, index: usize) -> Self {
        let Rectangle { centre, normal, along, half_along_m, half_across_m } = *rectangle;
        let axis = |dir: DVec3, half_m: f64| RectAxis {
            dir: dir.to_array().map(to_f32),
            centre: to_f32(dir.dot(centre)),
            half_m: to_f32(half_m),
        };
        Self {
            normal: normal.to_array().map(to_f32),
            offset: to_f32(normal.dot(centre)),
            axes: [axis(along, half_along_m), axis(rectangle.across(), half_across_m)],
            face: (SURFACE_COUNT + index) as u32,
        }
    }

    /// Replaces the hits of rays that hit the front of the rectangle before.
    #[inline(always)]
    pub(super) fn intersect(&self, rays: &mut RayPacket) {
        let RayPacket { origin, dir, hit_t, face, cos, .. } = rays;
        for i in 0..WIDTH {
            let crossing = self.crossing(origin.vector(i), dir.vector(i));
            let PlaneCrossing { slope, t, outside_m } = crossing;
            let hit = (slope < 0.0) & (t > MIN_HIT_M) & (outside_m <= 0.0) & (t < hit_t[i]);
            hit_t[i] = if hit { t } else { hit_t[i] };
            face[i] = if hit { self.face } else { face[i] };
            cos[i] = if hit { fast_min(-slope, 1.0) } else { cos[i] };
        }
    }

    /// Crossing of a line with the plane.
    #[inline(always)]
    pub(super) fn crossing(&self, origin: [f32; 3], dir: [f32; 3]) -> PlaneCrossing {
        let slope = dot(self.normal, dir);
        let t = (self.offset - dot(self.normal, origin)) / slope;
        let [along_m, across_m] = [0, 1].map(|axis| {
            let axis = &self.axes[axis];
            let position = dot(axis.dir, origin) + dot(axis.dir, dir) * t;
            (position - axis.centre).abs() - axis.half_m
        });
        PlaneCrossing { slope, t, outside_m: fast_max(along_m, across_m) }
    }
}
