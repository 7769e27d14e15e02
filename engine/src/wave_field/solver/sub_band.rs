//! Frequency sub-bands that share one cosine basis and one set of explicit modes.
//!
//! Their edges are fixed, so that the field at a frequency does not depend on which others are asked for.

use super::condensation::Condensation;
use super::field_at_receivers::FieldAtReceivers;
use super::modal_remainder::{ExplicitModes, ModalRemainder};
use crate::medium::air::Air;
use crate::scene::Room;
use crate::wave_field::bodies::{LayerBand, PointLayers, RoomBodies, StaticLayers};
use crate::wave_field::boundary::{RoomBoundary, SurfaceBasis};
use crate::wave_field::chebyshev_range::ChebyshevRange;
use crate::wave_field::modes::{Mode, modes_up_to, shape, shape_at_surface};
use glam::DVec3;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::f64::consts::TAU;
use std::sync::Arc;

/// Truncation of the cosine basis: factor on the highest wavenumber of a sub-band, and offset, rad/m.
pub(super) const SURFACE_TRUNCATION: (f64, f64) = (1.35, 2.0);
/// Truncation of the explicit modal sum: factor on the highest wavenumber of a sub-band.
const MODE_TRUNCATION: f64 = 1.2;
/// Sub-bands in an octave, with an edge at 1 kHz.
const PER_OCTAVE: f64 = 4.0;
/// Sub-bands that share the layers on bodies.
const SHARING_LAYERS: f64 = 2.0;

/// Frequencies within a quarter of an octave.
#[derive(Debug)]
pub(super) struct SubBand {
    room: Room,
    /// Frequencies, hertz.
    pub(super) hz: Vec<f64>,
    /// Modes of the explicit modal sum of G, by rising wavenumber.
    pub(super) modes: Vec<Mode>,
    /// Cosine basis on the surfaces.
    pub(super) basis: SurfaceBasis,
    /// Functions that are condensed.
    pub(super) condensation: Condensation,
    /// Non-zero couplings of basis functions to modes.
    pub(super) couplings: Vec<ModeCoupling>,
    explicit: ExplicitModes,
    /// Wavenumbers of the edges, rad/m.
    pub(super) edges_per_m: [f64; 2],
    /// Layers on the bodies; `None` in a room without.
    pub(super) layers: Option<LayerBand>,
}

/// Coupling `∮ φ_i ψ_N dS` of a basis function to a rigid mode.
#[derive(Debug)]
pub(super) struct ModeCoupling {
    /// Index of the basis function.
    pub(super) function: usize,
    /// Index of the mode.
    pub(super) mode: usize,
    /// Value of the integral: the mode's factor along the normal, at the surface, m^(−1/2).
    pub(super) factor: f64,
}

/// Basis functions and mode shapes evaluated for a point of the room.
#[derive(Debug, Clone)]
pub(super) struct BasisAtPoint {
    /// Basis functions at the projection of the point on their surface, 1/m.
    pub(super) functions: Vec<f64>,
    /// Distance from each surface, metres.
    pub(super) distances_m: [f64; 6],
    /// Mode shapes, m^(−3/2).
    pub(super) modes: Vec<f64>,
}

impl SubBand {
    /// Sub-bands that cover rising frequencies in hertz.
    pub(super) fn covering(
        room: &Room,
        boundary: &RoomBoundary,
        bodies: &RoomBodies,
        air: &Air,
        hz: &[f64],
    ) -> Vec<Self> {
        let wavenumber = |hz: f64| TAU * hz / air.speed_of_sound_m_s();
        let mut sub_bands = Vec::new();
        let mut shared: Option<(i64, Arc<StaticLayers>)> = None;
        let mut remaining = hz;
        while let Some(&lowest) = remaining.first() {
            let edge = (PER_OCTAVE * (lowest / 1e3).log2()).floor();
            let edges_hz = [edge, edge + 1.0].map(|edge| 1e3 * (edge / PER_OCTAVE).exp2());
            // At least one, should rounding put an edge below its own frequency.
            let count = remaining.partition_point(|&hz| hz < edges_hz[1]).max(1);
            let (hz, after) = remaining.split_at(count);
            remaining = after;
            let k = edges_hz.map(wavenumber);
            let basis = boundary.surface_basis(room, Self::truncation(k[1]));
            let mut sub_band = Self::new(room, basis, hz, k);
            if !bodies.bodies.is_empty() {
                let number = (edge / SHARING_LAYERS).floor();
                #[expect(clippy::cast_possible_truncation, reason = "a small number")]
                let key = number as i64;
                let layers = match shared.take() {
                    Some((other, layers)) if other == key => layers,
                    _ => {
                        let edge = (number + 1.0) * SHARING_LAYERS / PER_OCTAVE;
                        Arc::new(StaticLayers::new(room, bodies, wavenumber(1e3 * edge.exp2())))
                    }
                };
                sub_band.add_layers(bodies, &layers);
                shared = Some((key, layers));
            }
            sub_bands.push(sub_band);
        }
        sub_bands
    }

    /// Wavenumber at which the cosine basis ends, rad/m, for the highest of a sub-band.
    pub(super) fn truncation(highest_per_m: f64) -> f64 {
        SURFACE_TRUNCATION.0 * highest_per_m + SURFACE_TRUNCATION.1
    }

    /// Sub-band with a given basis, for frequencies in hertz and the wavenumbers of its edges, rad/m.
    pub(super) fn new(room: &Room, basis: SurfaceBasis, hz: &[f64], edges_per_m: [f64; 2]) -> Self {
        let modes = modes_up_to(room, MODE_TRUNCATION * edges_per_m[1]);
        Self {
            room: *room,
            hz: hz.to_vec(),
            couplings: couplings(room, &modes, &basis),
            condensation: Condensation::new(&basis, 0),
            basis,
            explicit: ExplicitModes::new(&modes),
            modes,
            edges_per_m,
            layers: None,
        }
    }

    /// Its range of k².
    pub(super) fn range(&self) -> ChebyshevRange {
        ChebyshevRange::new(self.edges_per_m.map(|k| k * k))
    }

    /// Adds layers on bodies to the unknowns.
    fn add_layers(&mut self, bodies: &RoomBodies, layers: &Arc<StaticLayers>) {
        let functions = &self.basis.functions;
        let band = LayerBand::new(&self.room, bodies, layers, &self.modes, functions, self.range());
        self.condensation = Condensation::new(&self.basis, band.count());
        self.layers = Some(band);
    }

    /// Space for the fields of so many sources at so many receivers, at every frequency.
    pub(super) fn spaces(&self, [sources, receivers]: [usize; 2]) -> Vec<FieldAtReceivers> {
        let modes = self.modes.len();
        let space = |_: &f64| FieldAtReceivers::with_capacity(sources, receivers, modes);
        self.hz.iter().map(space).collect()
    }

    /// Remainder of the modal sum of G for every source, and for each of them every receiver.
    pub(super) fn remainders(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<ModalRemainder> {
        let of_source = |&source: &DVec3| {
            ModalRemainder::between(&self.room, &self.explicit, source, receivers, self.range())
        };
        sources.iter().flat_map(of_source).collect()
    }

    /// Basis functions and mode shapes for points.
    pub(super) fn basis_at_points(&self, points: &[DVec3]) -> Vec<BasisAtPoint> {
        points.par_iter().map(|&point| self.basis_at(point)).collect()
    }

    /// Layers on bodies for points, unless those of the sub-band before, which are given, are the same.
    pub(super) fn layers_at_points(
        &self,
        points: &[DVec3],
        before: Option<(Arc<StaticLayers>, PointLayers)>,
    ) -> Option<(Arc<StaticLayers>, PointLayers)> {
        let layers = &self.layers.as_ref()?.layers;
        match before {
            Some(same) if Arc::ptr_eq(&same.0, layers) => Some(same),
            _ => Some((Arc::clone(layers), layers.at_points(&self.room, points))),
        }
    }

    /// Basis functions and mode shapes for a point.
    pub(super) fn basis_at(&self, point: DVec3) -> BasisAtPoint {
        let size = self.room.size();
        let distances_m = std::array::from_fn(|surface| {
            let axis = surface / 2;
            if surface % 2 == 1 { size[axis] - point[axis] } else { point[axis] }
        });
        // Functions and modes are products of the same factors along the axes.
        let factors = [0, 1, 2].map(|axis| {
            let functions = self.basis.functions.iter().map(|function| function.n[axis]);
            let orders = self.modes.iter().map(|mode| mode.n[axis]).chain(functions);
            let count = orders.max().map_or(0, |highest| highest + 1);
            (0..count).map(|n| shape(n, size[axis], point[axis])).collect::<Vec<f64>>()
        });
        let functions = self.basis.functions.iter().map(|function| {
            let axes = function.surface.tape_axes();
            axes.iter().map(|&axis| factors[axis][function.n[axis]]).product()
        });
        let modes =
            self.modes.iter().map(|mode| (0..3).map(|axis| factors[axis][mode.n[axis]]).product());
        BasisAtPoint { functions: functions.collect(), distances_m, modes: modes.collect() }
    }
}

/// A cosine on a surface couples to the modes with its numbers in the plane and any along the normal.
fn couplings(room: &Room, modes: &[Mode], basis: &SurfaceBasis) -> Vec<ModeCoupling> {
    let indices: BTreeMap<[usize; 3], usize> =
        modes.iter().enumerate().map(|(i, mode)| (mode.n, i)).collect();
    let mut couplings = Vec::new();
    for (index, function) in basis.functions.iter().enumerate() {
        let axis = function.surface.axis();
        let mut n = function.n;
        while let Some(&mode) = indices.get(&n) {
            let factor = shape_at_surface(n[axis], function.surface, room);
            couplings.push(ModeCoupling { function: index, mode, factor });
            n[axis] += 1;
        }
    }
    couplings
}
