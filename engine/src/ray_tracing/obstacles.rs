//! What stands inside the room, asked by a whole packet of rays at once.

use super::path_packet::{Column, PathPacket, RayColumns, WIDTH};
use super::primitives::{Aabb, OrientedRect, build_primitives};
use super::wide_bvh::{BoundedRay, WideBvh};
use crate::geometry::Face;

/// Everything inside the room as rays meet it: from the front of its faces only.
#[derive(Debug)]
pub(super) struct Obstacles {
    aabbs: Vec<Aabb>,
    rects: Vec<OrientedRect>,
    /// Over the blocks, where there are many.
    bvh: Option<WideBvh>,
}

/// Something nearer than this is what a ray has just left, metres.
const SELF_HIT_M: f32 = 1e-4;

/// Connections from the rays of a packet to one point, in columns.
#[derive(Debug)]
pub(super) struct Connections {
    /// Not unit vectors: they end at the point.
    pub(super) dir: [Column<f32>; 3],
    pub(super) inv_dir: [Column<f32>; 3],
    pub(super) length_m: Column<f32>,
}

impl Obstacles {
    pub(super) fn new(faces: &[Face]) -> Self {
        let (aabbs, rects) = build_primitives(faces);
        Self { bvh: WideBvh::over(&aabbs), aabbs, rects }
    }

    #[inline(always)]
    pub(super) fn is_empty(&self) -> bool {
        self.aabbs.is_empty() && self.rects.is_empty()
    }

    /// Finds what each ray meets before the wall ahead of it.
    #[inline(always)]
    pub(super) fn nearest_hits(&self, packet: &mut PathPacket) {
        if !self.aabbs.is_empty() {
            self.intersect_aabbs(packet);
        }
        for rect in &self.rects {
            intersect_rect(rect, packet);
        }
    }

    #[inline(always)]
    fn intersect_aabbs(&self, packet: &mut PathPacket) {
        // One more than the number of the block met; 0 is none.
        let mut met = [0u32; WIDTH];
        let PathPacket { live, origin, dir, inv_dir, hit_t, face, cos, .. } = packet;
        if let Some(bvh) = &self.bvh {
            for i in 0..*live {
                let ray = BoundedRay {
                    origin: origin.ray(i),
                    inv_dir: inv_dir.ray(i),
                    t_min: SELF_HIT_M,
                };
                if let Some((enter, aabb)) = bvh.nearest(ray, hit_t[i]) {
                    hit_t[i] = enter;
                    met[i] = aabb + 1;
                }
            }
        } else {
            for first in (0..*live).step_by(LANES) {
                let (hit_t, met) = (lanes_of(hit_t, first), lanes_of(&mut met, first));
                nearest_in_lanes(&self.aabbs, &LaneRays::of(origin, inv_dir, first), hit_t, met);
            }
        }
        for i in 0..*live {
            if met[i] > 0 {
                let aabb = &self.aabbs[met[i] as usize - 1];
                let axis = aabb.entry_axis(origin.ray(i), inv_dir.ray(i));
                let across = dir[axis][i];
                face[i] = aabb.faces[2 * axis + usize::from(across < 0.0)];
                cos[i] = fast_min(across.abs(), 1.0);
            }
        }
    }

    /// Takes away the gain of every way on which something stands.
    #[inline(always)]
    pub(super) fn occlude(
        &self,
        origin: &[Column<f32>; 3],
        connections: &Connections,
        gain: &mut Column<f32>,
    ) {
        // Gains are multiplied, for a store under a mask is slow on many processors.
        let mut self_hit_t = [0.0; WIDTH];
        for i in 0..WIDTH {
            self_hit_t[i] = SELF_HIT_M / connections.length_m[i];
        }
        if let Some(bvh) = &self.bvh {
            for i in 0..WIDTH {
                let (origin, inv_dir) = (origin.ray(i), connections.inv_dir.ray(i));
                let blocked = gain[i] > 0.0
                    && bvh.is_occluded(BoundedRay { origin, inv_dir, t_min: self_hit_t[i] }, 1.0);
                gain[i] *= if blocked { 0.0 } else { 1.0 };
            }
        }
        if self.bvh.is_none() {
            for first in (0..WIDTH).step_by(LANES) {
                let rays = LaneRays::of(origin, &connections.inv_dir, first);
                let self_hit_t = &self_hit_t[first..first + LANES];
                occlude_lanes(&self.aabbs, &rays, self_hit_t, lanes_of(gain, first));
            }
        }
        for rect in &self.rects {
            for i in 0..WIDTH {
                let (toward, ahead, outside) = rect_hit(rect, origin, &connections.dir, i);
                let hit = (toward < 0.0) & (ahead > self_hit_t[i]) & (ahead < 1.0);
                gain[i] *= if hit & (outside <= 0.0) { 0.0 } else { 1.0 };
            }
        }
    }
}

/// Rays looked at together: as many as a vector is_in_image_list, so that what is known of them stays in
/// registers while block after block is asked.
const LANES: usize = 8;

/// So many rays of a packet.
struct LaneRays {
    origin: [[f32; LANES]; 3],
    inv_dir: [[f32; LANES]; 3],
}

impl LaneRays {
    #[inline(always)]
    fn of(origin: &[Column<f32>; 3], inv_dir: &[Column<f32>; 3], first: usize) -> Self {
        Self {
            origin: [
                copied(&origin[0], first),
                copied(&origin[1], first),
                copied(&origin[2], first),
            ],
            inv_dir: [
                copied(&inv_dir[0], first),
                copied(&inv_dir[1], first),
                copied(&inv_dir[2], first),
            ],
        }
    }

    /// Where a ray comes into a block and leaves it again; it misses it if it leaves first.
    #[inline(always)]
    fn slabs(&self, aabb: &Aabb, lane: usize) -> (f32, f32) {
        let (x0, x1) = self.slab(aabb, 0, lane);
        let (y0, y1) = self.slab(aabb, 1, lane);
        let (z0, z1) = self.slab(aabb, 2, lane);
        (fast_max(fast_max(x0, y0), z0), fast_min(fast_min(x1, y1), z1))
    }

    /// No closure, for one that is called often is not always inlined.
    #[inline(always)]
    fn slab(&self, aabb: &Aabb, axis: usize, lane: usize) -> (f32, f32) {
        let (origin, inv_dir) = (self.origin[axis][lane], self.inv_dir[axis][lane]);
        let low = (aabb.low[axis] - origin) * inv_dir;
        let high = (aabb.high[axis] - origin) * inv_dir;
        (fast_min(low, high), fast_max(low, high))
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
fn nearest_in_lanes(aabbs: &[Aabb], rays: &LaneRays, hit_t: &mut [f32], met: &mut [u32]) {
    let (mut near_m, mut nearest) = ([0.0; LANES], [0; LANES]);
    near_m.copy_from_slice(hit_t);
    nearest.copy_from_slice(met);
    // Copies, or the compiler must take care that nothing written is a block or a ray.
    for (&aabb, number) in aabbs.iter().zip(1u32..) {
        for lane in 0..LANES {
            let (enter, leave) = rays.slabs(&aabb, lane);
            let (ahead, before) = (near_m[lane], nearest[lane]);
            let hit = (enter > SELF_HIT_M) & (enter <= leave) & (enter < ahead);
            near_m[lane] = fast_min(if hit { enter } else { f32::INFINITY }, ahead);
            nearest[lane] = before ^ ((before ^ number) & u32::from(hit).wrapping_neg());
        }
    }
    hit_t.copy_from_slice(&near_m);
    met.copy_from_slice(&nearest);
}

/// Takes the gain of ways, each as long as its direction, on which any block stands.
#[inline(always)]
fn occlude_lanes(aabbs: &[Aabb], rays: &LaneRays, self_hit_t: &[f32], gain: &mut [f32]) {
    let (mut left, mut from) = ([0.0; LANES], [0.0; LANES]);
    left.copy_from_slice(gain);
    from.copy_from_slice(self_hit_t);
    for &aabb in aabbs {
        for lane in 0..LANES {
            let (enter, leave) = rays.slabs(&aabb, lane);
            let hit = (enter > from[lane]) & (enter <= leave) & (enter < 1.0);
            left[lane] *= if hit { 0.0 } else { 1.0 };
        }
    }
    gain.copy_from_slice(&left);
}

#[inline(always)]
fn intersect_rect(rect: &OrientedRect, packet: &mut PathPacket) {
    let PathPacket { origin, dir, hit_t, face, cos, .. } = packet;
    for i in 0..WIDTH {
        let (toward, ahead, outside) = rect_hit(rect, origin, dir, i);
        let hit = (toward < 0.0) & (ahead > SELF_HIT_M) & (outside <= 0.0) & (ahead < hit_t[i]);
        hit_t[i] = if hit { ahead } else { hit_t[i] };
        face[i] = if hit { rect.face } else { face[i] };
        cos[i] = if hit { fast_min(-toward, 1.0) } else { cos[i] };
    }
}

/// How a ray goes toward a plate's plane, how far it is, and how far beyond the rim it gets there.
#[inline(always)]
fn rect_hit(
    rect: &OrientedRect,
    origin: &[Column<f32>; 3],
    dir: &[Column<f32>; 3],
    i: usize,
) -> (f32, f32, f32) {
    let (origin, dir) = (origin.ray(i), dir.ray(i));
    let toward = dot(rect.normal, dir);
    let ahead = (rect.offset - dot(rect.normal, origin)) / toward;
    let [one, other] = [0, 1].map(|s| {
        let side = &rect.sides[s];
        let place = dot(side.along, origin) + dot(side.along, dir) * ahead;
        (place - side.middle).abs() - side.half
    });
    (toward, ahead, fast_max(one, other))
}

#[inline(always)]
pub(super) fn dot(a: [f32; 3], b: [f32; 3]) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// As the processor does it, without the standard library's care for what is not a number.
#[inline(always)]
pub(super) fn fast_min(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// The same for the fast_max.
#[inline(always)]
pub(super) fn fast_max(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}
