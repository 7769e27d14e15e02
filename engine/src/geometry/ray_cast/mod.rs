//! Ray casting: nearest hits of rays, and occlusion between two points.
//!
//! There are three implementations over the same faces. `BruteForce` tests every face and is the
//! reference; `FaceBvh` tests those along the ray, for image-source visibility and wavefronts, and
//! gives the same answers to the bit; `packet::PacketCaster` casts many rays at once in single
//! precision for stochastic ray tracing. The tests of this module hold all against the reference.

mod brute_force;
mod face_bvh;
mod face_test;
pub(crate) mod packet;
#[cfg(test)]
mod tests;

pub(super) use brute_force::BruteForce;
pub(super) use face_bvh::FaceBvh;

use glam::DVec3;

/// Ray from a point inside the room.
#[derive(Debug, Clone, Copy)]
pub struct Ray {
    /// Origin, metres.
    pub origin: DVec3,
    /// Unit vector.
    pub dir: DVec3,
    /// Hits count below this distance, metres.
    pub t_max: f64,
    /// Face that the origin lies on, by its index: a plane face is not hit by what leaves it.
    pub leaves: Option<usize>,
}

/// Hit of a ray on a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hit {
    /// Index of the face in [`super::Faces::all`].
    pub face: usize,
    /// Distance from the origin, metres.
    pub t: f64,
    /// Whether the ray arrives at the front of the face.
    pub is_front: bool,
}

/// Casting of single rays.
///
/// The six surfaces of the room are unbounded planes hit from the front: the room is convex, so the
/// nearest of those ahead is the one that is hit. All other faces are rectangles, their rims included,
/// hit from both sides. A face that is transparent from an end of a ray does not count, nor one that an
/// end lies on.
pub trait RayCast {
    /// Nearest face along a ray. Of faces closer together than [`super::SAME_POINT_M`], such as the
    /// two sides of a screen, it is the one whose front faces the ray.
    fn nearest_hit(&self, ray: &Ray) -> Option<Hit>;

    /// Whether a face inside the room crosses the open segment between two points.
    fn is_occluded(&self, from: DVec3, to: DVec3) -> bool;
}
