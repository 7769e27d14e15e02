//! Ray casting for packets of rays in single precision, as stochastic ray tracing needs it.
//!
//! Rays hit the front sides of faces only, which is all that a ray can reach that starts in the open.

#![allow(
    clippy::cast_possible_truncation,
    clippy::needless_range_loop,
    clippy::needless_bitwise_bool,
    reason = "faces are counted in small numbers; columns side by side, without branches, vectorise"
)]

mod lane_rays;
mod obstacles;
mod primitives;
mod ray_packet;
mod walls;
mod wide_bvh;

use crate::geometry::face::{Face, SURFACE_COUNT};
use crate::numerics::single_precision::to_f32;
use glam::DVec3;
use obstacles::Obstacles;
pub(crate) use ray_packet::{
    RayColumn, RayPacket, SegmentPacket, VectorColumns, WIDTH, nonzero_component,
};

/// Room surfaces and obstacles, laid out for packets.
#[derive(Debug)]
pub(crate) struct PacketCaster {
    /// Inside dimensions of the room, metres.
    size: [f32; 3],
    obstacles: Obstacles,
}

impl PacketCaster {
    /// Over all faces of a room, its six surfaces first.
    pub(crate) fn new(faces: &[Face], size: DVec3) -> Self {
        let obstacles = Obstacles::new(&faces[SURFACE_COUNT..]);
        Self { size: size.to_array().map(to_f32), obstacles }
    }

    /// Inside dimensions of the room, metres.
    #[inline(always)]
    pub(crate) fn size(&self) -> [f32; 3] {
        self.size
    }

    /// Whether the room holds anything but its surfaces.
    #[inline(always)]
    pub(crate) fn has_obstacles(&self) -> bool {
        !self.obstacles.is_empty()
    }

    /// Nearest hit of every ray.
    #[inline(always)]
    pub(crate) fn nearest_hits(&self, rays: &mut RayPacket) {
        walls::intersect_walls(rays, self.size);
        if self.has_obstacles() {
            self.obstacles.nearest_hits(rays);
        }
    }

    /// Sets the visibility, or whatever is proportional to it, to zero where a segment is occluded.
    #[inline(always)]
    pub(crate) fn occlude(&self, segments: &SegmentPacket<'_>, visibility: &mut RayColumn<f32>) {
        if self.has_obstacles() {
            self.obstacles.occlude(segments, visibility);
        }
    }
}
