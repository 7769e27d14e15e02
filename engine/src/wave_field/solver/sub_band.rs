//! Frequencies close together, for which the same cosines and modes serve; and places seen by them.

use crate::medium::air::Air;
use crate::scene::Room;
use crate::wave_field::boundary::{RoomBoundary, SurfaceBasis};
use crate::wave_field::modes::{Mode, modes_up_to, shape};
use crate::wave_field::solver::modal_remainder::{ExplicitModes, ModalRemainder};
use glam::DVec3;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Cosines along a surface are taken up to so many times the highest wavenumber of a stretch, and so
/// much higher, 1/m.
pub(super) const SURFACE_TRUNCATION: (f64, f64) = (1.25, 2.0);
/// Rigid modes for which G is written out go up to so many times the highest wavenumber of a stretch.
const MODE_TRUNCATION: f64 = 1.2;

/// Frequencies within half an octave.
#[derive(Debug)]
pub(super) struct SubBand {
    pub(super) room: Room,
    /// Frequencies, hertz.
    pub(super) hz: Vec<f64>,
    /// Rigid modes written out, in rising order.
    pub(super) modes: Vec<Mode>,
    pub(super) ripples: SurfaceBasis,
    /// What ends on a surface mode_coupling from a mode: index of the cosine, of the mode, and the mode's shape
    /// at the surface.
    pub(super) mode_coupling: Vec<(usize, usize, f64)>,
    solved: ExplicitModes,
    /// Range of k², 1/m².
    k2: [f64; 2],
}

/// A place in the room, as the cosines and modes of a stretch see it.
#[derive(Debug, Clone)]
pub(super) struct BasisAtPoint {
    /// Each cosine's value over it.
    pub(super) along: Vec<f64>,
    /// How far it is from each surface, metres.
    pub(super) away_m: [f64; 6],
    /// Each mode's value there.
    pub(super) modes: Vec<f64>,
}

impl SubBand {
    /// All frequencies, in stretches.
    pub(super) fn all(room: &Room, surfaces: &RoomBoundary, air: &Air, hz: &[f64]) -> Vec<Self> {
        let mut stretches = Vec::new();
        let mut rest_of = hz;
        while let Some(&first) = rest_of.first() {
            let count = rest_of.partition_point(|&hz| hz <= 2f64.sqrt() * first);
            let (stretch, after) = rest_of.split_at(count);
            rest_of = after;
            let wide =
                |hz: Option<&f64>| TAU * hz.copied().unwrap_or(first) / air.speed_of_sound_m_s();
            let k = [wide(stretch.first()), wide(stretch.last())];
            let ripples =
                surfaces.ripples(room, SURFACE_TRUNCATION.0 * k[1] + SURFACE_TRUNCATION.1);
            stretches.push(Self::new(room, ripples, stretch, k));
        }
        stretches
    }

    /// With cosines of one's own, for wavenumbers from one to another.
    pub(super) fn new(
        room: &Room,
        ripples: SurfaceBasis,
        hz: &[f64],
        [low, high]: [f64; 2],
    ) -> Self {
        let modes = modes_up_to(room, MODE_TRUNCATION * high);
        Self {
            room: *room,
            hz: hz.to_vec(),
            mode_coupling: mode_coupling(room, &modes, &ripples),
            ripples,
            solved: ExplicitModes::new(&modes),
            modes,
            // A stretch of one frequency is widened a little, for a polynomial needs a range.
            k2: [0.999 * low * low, 1.001 * high * high],
        }
    }

    /// What modes beyond those written out add between two points of the rigid room.
    pub(super) fn rest(&self, source: DVec3, receiver: DVec3) -> ModalRemainder {
        ModalRemainder::new(&self.room, &self.solved, [source, receiver], self.k2)
    }

    /// The rests of all receivers for the first source, then for the second, and so on.
    pub(super) fn pairs(sources: &[DVec3], receivers: &[DVec3]) -> Vec<(DVec3, DVec3)> {
        sources.iter().flat_map(|&s| receivers.iter().map(move |&r| (s, r))).collect()
    }

    /// A place in the room.
    pub(super) fn spot(&self, point: DVec3) -> BasisAtPoint {
        let size = self.room.size();
        let away_m = std::array::from_fn(|surface| {
            let axis = surface / 2;
            if surface % 2 == 1 { size[axis] - point[axis] } else { point[axis] }
        });
        // Each axis for itself: cosines and modes share their factors.
        let most = |n: usize| self.ripples.all.iter().map(move |r| r.n[n]);
        let factors = [0, 1, 2].map(|axis| {
            let modes = self.modes.iter().map(|mode| mode.n[axis]);
            let counts = modes.chain(most(axis)).max().map_or(0, |most| most + 1);
            (0..counts).map(|n| shape(n, size[axis], point[axis])).collect::<Vec<f64>>()
        });
        let along = self.ripples.all.iter().map(|ripple| {
            ripple.surface.tape_axes().iter().map(|&axis| factors[axis][ripple.n[axis]]).product()
        });
        let modes =
            self.modes.iter().map(|mode| (0..3).map(|axis| factors[axis][mode.n[axis]]).product());
        BasisAtPoint { along: along.collect(), away_m, modes: modes.collect() }
    }
}

fn mode_coupling(room: &Room, modes: &[Mode], ripples: &SurfaceBasis) -> Vec<(usize, usize, f64)> {
    let size = room.size();
    let places: BTreeMap<[usize; 3], usize> =
        modes.iter().enumerate().map(|(i, mode)| (mode.n, i)).collect();
    let mut found = Vec::new();
    for (index, ripple) in ripples.all.iter().enumerate() {
        let axis = ripple.surface.axis();
        let end_m = if ripple.surface.is_far() { size[axis] } else { 0.0 };
        let mut n = ripple.n;
        while let Some(&mode) = places.get(&n) {
            found.push((index, mode, shape(n[axis], size[axis], end_m)));
            n[axis] += 1;
        }
    }
    found
}
