//! Many rays side by side, in columns.

use super::launch::{Emission, Lattice};
use super::skin::{Row, row, single};
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
/// in rows, so that a vector holds all bands of one ray: a wall's factors are then one load from
/// wherever they are, and neither gathered nor selected.
#[derive(Debug)]
pub(super) struct Packet {
    pub(super) live: usize,
    /// Where each is, metres.
    pub(super) at: [Column<f32>; 3],
    /// Its direction, and one over each component.
    pub(super) way: [Column<f32>; 3],
    pub(super) inverse: [Column<f32>; 3],
    /// Metres run since the speaker.
    pub(super) run_m: Column<f32>,
    /// Metres to the next hit.
    pub(super) ahead_m: Column<f32>,
    /// The next face, by its index in [`crate::geometry::Faces::all`].
    pub(super) face: Column<u32>,
    /// Cosine of incidence there.
    pub(super) cos: Column<f32>,
    /// Its material.
    pub(super) material: Column<u32>,
    /// Bounces since the speaker.
    pub(super) order: Column<u32>,
    /// What the ray has been through, as far as it decides who counts it: see [`past`].
    pub(super) past: Column<u32>,
    pub(super) energy: Column<Row>,
    pub(super) stream: Column<Stream>,
}

/// Marks of a ray's past.
pub(super) mod past {
    /// It was scattered at some bounce.
    pub(in super::super) const SCATTERED: u32 = 1;
    /// It met something else than the six surfaces of the room.
    pub(in super::super) const OFF_SURFACES: u32 = 2;
    /// It does not come from a mirror: it is new, or its last bounce scattered it.
    pub(in super::super) const NO_MIRROR_LAST: u32 = 4;
}

/// No direction is exactly along a wall, so that nothing is divided by zero.
const LEAST_COMPONENT: f32 = 1e-12;

/// A component of a direction, kept from zero.
#[inline(always)]
pub(super) fn not_zero(component: f32) -> f32 {
    if component.abs() < LEAST_COMPONENT { LEAST_COMPONENT.copysign(component) } else { component }
}

impl Packet {
    pub(super) fn empty() -> Self {
        let column = [0.5; WIDTH];
        let none = [0; WIDTH];
        Self {
            live: 0,
            at: [column; 3],
            way: [column; 3],
            inverse: [column; 3],
            run_m: column,
            ahead_m: column,
            face: none,
            cos: column,
            material: none,
            order: none,
            past: none,
            energy: [[0.0; 8]; WIDTH],
            stream: [Stream::default(); WIDTH],
        }
    }

    /// Puts a new ray at the end.
    pub(super) fn launch(
        &mut self,
        from: DVec3,
        lattice: &Lattice,
        index: u64,
        emission: &Emission,
        stream: Stream,
    ) -> Row {
        let i = self.live;
        let direction = lattice.direction(index);
        for axis in 0..3 {
            self.at[axis][i] = single(from[axis]);
        }
        self.turn(i, direction.to_array().map(single));
        self.run_m[i] = 0.0;
        self.energy[i] = row(emission.energy(direction));
        self.order[i] = 0;
        self.past[i] = past::NO_MIRROR_LAST;
        self.stream[i] = stream;
        self.live += 1;
        self.energy[i]
    }

    /// Gives a ray a new direction.
    #[inline(always)]
    pub(super) fn turn(&mut self, i: usize, way: [f32; 3]) {
        for axis in 0..3 {
            let component = not_zero(way[axis]);
            self.way[axis][i] = component;
            self.inverse[axis][i] = 1.0 / component;
        }
    }

    /// Takes a ray out; the last one takes its place.
    #[inline(always)]
    pub(super) fn retire(&mut self, i: usize) {
        self.live -= 1;
        let last = self.live;
        for axis in 0..3 {
            self.at[axis][i] = self.at[axis][last];
            self.way[axis][i] = self.way[axis][last];
            self.inverse[axis][i] = self.inverse[axis][last];
        }
        self.run_m[i] = self.run_m[last];
        self.ahead_m[i] = self.ahead_m[last];
        self.face[i] = self.face[last];
        self.cos[i] = self.cos[last];
        self.material[i] = self.material[last];
        self.order[i] = self.order[last];
        self.past[i] = self.past[last];
        self.energy[i] = self.energy[last];
        self.stream[i] = self.stream[last];
        self.energy[last] = [0.0; 8];
    }
}

/// One ray out of columns.
pub(super) trait Columns {
    fn ray(&self, i: usize) -> [f32; 3];
}

impl Columns for [Column<f32>; 3] {
    #[inline(always)]
    fn ray(&self, i: usize) -> [f32; 3] {
        [self[0][i], self[1][i], self[2][i]]
    }
}
