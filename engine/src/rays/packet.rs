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
/// harmless.
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
    pub(super) energy: Column<Row>,
    pub(super) past: Column<Past>,
    pub(super) stream: Column<Stream>,
}

/// What a ray has been through, as far as it decides who counts it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Past {
    /// Mirror bounces since the speaker; stops counting at the first scattering.
    pub(super) order: u32,
    /// Whether it was ever scattered.
    pub(super) scattered: bool,
    /// Whether it only ever met the six surfaces of the room.
    pub(super) on_surfaces: bool,
    /// Whether its last bounce was a mirror's.
    pub(super) mirrored_last: bool,
}

/// No direction is exactly along a wall, so that nothing is divided by zero.
const LEAST_COMPONENT: f32 = 1e-12;

impl Packet {
    pub(super) fn empty() -> Self {
        let column = [0.5; WIDTH];
        Self {
            live: 0,
            at: [column; 3],
            way: [column; 3],
            inverse: [column; 3],
            run_m: column,
            ahead_m: column,
            face: [0; WIDTH],
            cos: column,
            energy: [[0.0; 8]; WIDTH],
            past: [Past::default(); WIDTH],
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
    ) {
        let i = self.live;
        let direction = lattice.direction(index);
        for axis in 0..3 {
            self.at[axis][i] = single(from[axis]);
        }
        self.turn(i, direction.to_array().map(single));
        self.run_m[i] = 0.0;
        self.energy[i] = row(emission.energy(direction));
        self.past[i] = Past { on_surfaces: true, ..Past::default() };
        self.stream[i] = stream;
        self.live += 1;
    }

    /// Gives a ray a new direction.
    #[inline(always)]
    pub(super) fn turn(&mut self, i: usize, way: [f32; 3]) {
        for axis in 0..3 {
            let component = way[axis];
            let component = if component.abs() < LEAST_COMPONENT {
                LEAST_COMPONENT.copysign(component)
            } else {
                component
            };
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
        self.energy[i] = self.energy[last];
        self.past[i] = self.past[last];
        self.stream[i] = self.stream[last];
    }
}
