//! Many rays side by side, in columns.

use super::emission::{Emission, FibonacciSphere};
use super::reflectance::{BandVector, band_vector, to_f32};
use super::stream::Stream;
use glam::DVec3;

/// Rays in a packet: enough to keep vectors busy, few enough for the nearest cache.
pub(super) const WIDTH: usize = 64;

/// A column of a packet.
pub(super) type Column<T> = [T; WIDTH];

/// Rays on their way. The first `live` are; what stands behind them is left from earlier rays and
/// harmless, for it has no energy.
///
/// Geometry stands in columns, so that vectors hold the same number of several rays. Energies stand
/// in rows, so that a vector is_in_image_list all bands of one ray: a wall's factors are then one load from
/// wherever they are, and neither gathered nor selected.
#[derive(Debug)]
pub(super) struct PathPacket {
    pub(super) live: usize,
    /// Where each is, metres.
    pub(super) origin: [Column<f32>; 3],
    /// Its direction, and one over each component.
    pub(super) dir: [Column<f32>; 3],
    pub(super) inv_dir: [Column<f32>; 3],
    /// Metres run since the speaker.
    pub(super) path_m: Column<f32>,
    /// Metres to the next hit.
    pub(super) hit_t: Column<f32>,
    /// The next face, by its index in [`crate::geometry::Faces::all`].
    pub(super) face: Column<u32>,
    /// Cosine of incidence there.
    pub(super) cos: Column<f32>,
    /// Its material.
    pub(super) material: Column<u32>,
    /// Bounces since the speaker.
    pub(super) order: Column<u32>,
    /// What the ray has been through, as far as it decides who counts it: see [`past`].
    pub(super) history: Column<u32>,
    pub(super) energy: Column<BandVector>,
    pub(super) stream: Column<Stream>,
}

/// Marks of a ray's past.
pub(super) mod history {
    /// It was scattered at some bounce.
    pub(in super::super) const SCATTERED: u32 = 1;
    /// It met something else than the six surfaces of the room.
    pub(in super::super) const HIT_OBSTACLE: u32 = 2;
    /// It does not come from a mirror: it is new, or its last bounce scattered it.
    pub(in super::super) const LAST_NOT_SPECULAR: u32 = 4;
}

/// No direction is exactly along a wall, so that nothing is divided by zero.
const MIN_COMPONENT: f32 = 1e-12;

/// A component of a direction, kept from zero.
#[inline(always)]
pub(super) fn nonzero_component(component: f32) -> f32 {
    if component.abs() < MIN_COMPONENT { MIN_COMPONENT.copysign(component) } else { component }
}

impl PathPacket {
    pub(super) fn empty() -> Self {
        let column = [0.5; WIDTH];
        let none = [0; WIDTH];
        Self {
            live: 0,
            origin: [column; 3],
            dir: [column; 3],
            inv_dir: [column; 3],
            path_m: column,
            hit_t: column,
            face: none,
            cos: column,
            material: none,
            order: none,
            history: none,
            energy: [[0.0; 8]; WIDTH],
            stream: [Stream::default(); WIDTH],
        }
    }

    /// Puts a new ray at the end.
    pub(super) fn launch(
        &mut self,
        from: DVec3,
        directions: &FibonacciSphere,
        index: u64,
        emission: &Emission,
        stream: Stream,
    ) -> BandVector {
        let i = self.live;
        let direction = directions.direction(index);
        for axis in 0..3 {
            self.origin[axis][i] = to_f32(from[axis]);
        }
        self.set_direction(i, direction.to_array().map(to_f32));
        self.path_m[i] = 0.0;
        self.energy[i] = band_vector(emission.energy(direction));
        self.order[i] = 0;
        self.history[i] = history::LAST_NOT_SPECULAR;
        self.stream[i] = stream;
        self.live += 1;
        self.energy[i]
    }

    /// Gives a ray a new direction.
    #[inline(always)]
    pub(super) fn set_direction(&mut self, i: usize, dir: [f32; 3]) {
        for axis in 0..3 {
            let component = nonzero_component(dir[axis]);
            self.dir[axis][i] = component;
            self.inv_dir[axis][i] = 1.0 / component;
        }
    }

    /// Takes a ray out; the last one takes its place.
    #[inline(always)]
    pub(super) fn retire(&mut self, i: usize) {
        self.live -= 1;
        let last = self.live;
        for axis in 0..3 {
            self.origin[axis][i] = self.origin[axis][last];
            self.dir[axis][i] = self.dir[axis][last];
            self.inv_dir[axis][i] = self.inv_dir[axis][last];
        }
        self.path_m[i] = self.path_m[last];
        self.hit_t[i] = self.hit_t[last];
        self.face[i] = self.face[last];
        self.cos[i] = self.cos[last];
        self.material[i] = self.material[last];
        self.order[i] = self.order[last];
        self.history[i] = self.history[last];
        self.energy[i] = self.energy[last];
        self.stream[i] = self.stream[last];
        self.energy[last] = [0.0; 8];
    }
}

/// One ray out of columns.
pub(super) trait RayColumns {
    fn ray(&self, i: usize) -> [f32; 3];
}

impl RayColumns for [Column<f32>; 3] {
    #[inline(always)]
    fn ray(&self, i: usize) -> [f32; 3] {
        [self[0][i], self[1][i], self[2][i]]
    }
}
