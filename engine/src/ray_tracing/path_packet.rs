//! Ray paths side by side: rays, their energies and histories.

use super::band_vector::{BandVector, band_vector};
use super::emission::Emission;
use super::fibonacci_sphere::FibonacciSphere;
use super::scattering::{BandPosterior, EVEN};
use crate::geometry::ray_cast::packet::{RayColumn, RayPacket, WIDTH};
use crate::numerics::single_precision::to_f32;
use crate::numerics::stream::Stream;
use glam::DVec3;

/// Paths of a packet of rays. Columns behind the live ones hold stale rays without energy.
///
/// Geometry is in columns, so that a vector holds one quantity of several rays. Energies are in rows,
/// so that a vector holds all bands of one ray: the factors of a wall are then one load from wherever
/// they are, neither gathered nor selected.
#[derive(Debug)]
pub(super) struct PathPacket {
    pub(super) rays: RayPacket,
    /// Path lengths from the speaker, metres.
    pub(super) path_m: RayColumn<f32>,
    /// Materials hit, by index in the scene.
    pub(super) material: RayColumn<u32>,
    /// Bounces since the speaker.
    pub(super) order: RayColumn<u32>,
    /// Flags of [`history`].
    pub(super) history: RayColumn<u32>,
    pub(super) energy: RayColumn<BandVector>,
    pub(super) posterior: RayColumn<BandPosterior>,
    pub(super) stream: RayColumn<Stream>,
}

/// Flags of a path that decide whether a receiver scores it.
pub(super) mod history {
    /// Scattered at some bounce.
    pub(in super::super) const SCATTERED: u32 = 1;
    /// Reflected by something else than the six surfaces of the room.
    pub(in super::super) const HIT_OBSTACLE: u32 = 2;
    /// Just launched, or scattered at its last bounce.
    pub(in super::super) const LAST_NOT_SPECULAR: u32 = 4;
}

impl PathPacket {
    /// No live rays.
    pub(super) fn empty() -> Self {
        let none = [0; WIDTH];
        Self {
            rays: RayPacket::empty(),
            path_m: [0.5; WIDTH],
            material: none,
            order: none,
            history: none,
            energy: [[0.0; 8]; WIDTH],
            posterior: [EVEN; WIDTH],
            stream: [Stream::default(); WIDTH],
        }
    }

    /// Appends a ray from the speaker; its energy.
    pub(super) fn launch(
        &mut self,
        from: DVec3,
        directions: &FibonacciSphere,
        index: u64,
        emission: &Emission,
        stream: Stream,
    ) -> BandVector {
        let i = self.rays.live;
        let direction = directions.direction(index);
        for axis in 0..3 {
            self.rays.origin[axis][i] = to_f32(from[axis]);
        }
        self.rays.set_direction(i, direction.to_array().map(to_f32));
        self.path_m[i] = 0.0;
        self.energy[i] = band_vector(emission.energy(direction));
        self.posterior[i] = EVEN;
        self.order[i] = 0;
        self.history[i] = history::LAST_NOT_SPECULAR;
        self.stream[i] = stream;
        self.rays.live += 1;
        self.energy[i]
    }

    /// Removes a path; the last one takes its column.
    #[inline(always)]
    pub(super) fn retire(&mut self, i: usize) {
        let last = self.rays.swap_remove(i);
        self.path_m[i] = self.path_m[last];
        self.material[i] = self.material[last];
        self.order[i] = self.order[last];
        self.history[i] = self.history[last];
        self.energy[i] = self.energy[last];
        self.posterior[i] = self.posterior[last];
        self.stream[i] = self.stream[last];
        self.energy[last] = [0.0; 8];
    }
}
