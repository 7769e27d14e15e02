//! Admittance of the room's surfaces and of the panels on them, and its matrix in a cosine basis.

mod admittance;
mod surface_basis;

pub(super) use surface_basis::{BasisFunction, SurfaceBasis};

use super::modes::shape_at_surface;
use crate::scene::{Panel, Room, Scene, Surface, Variant};
use admittance::Admittance;
use num_complex::Complex64;
use std::ops::Range;
use surface_basis::{OverlapIntegrals, overlap};

/// Admittance of all six surfaces.
#[derive(Debug, Clone)]
pub(super) struct RoomBoundary(Vec<WallAdmittance>);

/// Admittance of one surface, piecewise constant.
#[derive(Debug, Clone)]
struct WallAdmittance {
    surface: Surface,
    wall: Admittance,
    patches: Vec<AdmittancePatch>,
}

/// Rectangle with the admittance of a panel instead of that of the surface behind it.
#[derive(Debug, Clone)]
struct AdmittancePatch {
    /// Interval along each of the surface's two tape coordinates, metres.
    interval_m: [[f64; 2]; 2],
    admittance: Admittance,
}

/// Matrix `∮ β φ_i φ_j dS` of one surface's admittance in its cosines.
#[derive(Debug)]
pub(super) enum AdmittanceMatrix {
    /// Multiple of the identity: the surface has no panels.
    Uniform(Complex64),
    /// Symmetric matrix of a surface with panels.
    Dense(faer::Mat<Complex64>),
}

impl RoomBoundary {
    /// Boundary of a scene in one of its states.
    pub(super) fn new(scene: &Scene, variant: &Variant<'_>) -> Self {
        let admittance = |index: usize| Admittance::new(&scene.materials()[index], scene.air());
        let wall = |surface: Surface| {
            let patch = |panel: &&Panel| AdmittancePatch {
                interval_m: [0, 1].map(|side| {
                    [-0.5, 0.5].map(|half| panel.centre_m[side] + half * panel.size_m[side])
                }),
                admittance: admittance(panel.material),
            };
            let panels = variant.panels.iter().filter(|panel| panel.on == surface);
            WallAdmittance {
                surface,
                wall: admittance(scene.surface_material_index(surface)),
                patches: panels.map(patch).collect(),
            }
        };
        Self(Surface::ALL.map(wall).to_vec())
    }

    /// Modal damping `D_NN = ∮ Re β ψ_N² dS` of a rigid mode, 1/m.
    pub(super) fn modal_damping(&self, room: &Room, n: [usize; 3], hz: f64) -> f64 {
        self.0.iter().map(|wall| wall.modal_damping(room, n, hz)).sum()
    }

    /// Cosine basis up to a wavenumber, with its overlap integrals over the panels.
    pub(super) fn surface_basis(&self, room: &Room, wavenumber_per_m: f64) -> SurfaceBasis {
        let mut basis =
            SurfaceBasis { functions: Vec::new(), ranges: Vec::new(), overlaps: Vec::new() };
        for wall in &self.0 {
            let panels = wall.patches.iter().map(|patch| patch.interval_m);
            basis.push(wall.surface, room, wavenumber_per_m, panels);
        }
        basis
    }

    /// Admittance matrix of every surface at a frequency, with the range of its basis functions.
    pub(super) fn admittance_matrices(
        &self,
        basis: &SurfaceBasis,
        hz: f64,
    ) -> Vec<(Range<usize>, AdmittanceMatrix)> {
        let walls = self.0.iter().zip(&basis.ranges).zip(&basis.overlaps);
        walls
            .map(|((wall, range), overlaps)| {
                let functions = &basis.functions[range.clone()];
                (range.clone(), wall.admittance_matrix(functions, overlaps, hz))
            })
            .collect()
    }
}

impl WallAdmittance {
    fn modal_damping(&self, room: &Room, n: [usize; 3], hz: f64) -> f64 {
        let (size, axis) = (room.size(), self.surface.axis());
        let wall = self.wall.at(hz);
        let patches = self.patches.iter().map(|patch| {
            let along = self.surface.tape_axes();
            let overlaps = [0, 1].map(|side| {
                let axis = along[side];
                overlap(n[axis], n[axis], size[axis], patch.interval_m[side])
            });
            (patch.admittance.at(hz) - wall) * overlaps[0] * overlaps[1]
        });
        shape_at_surface(n[axis], self.surface, room).powi(2)
            * (wall + patches.sum::<Complex64>()).re
    }

    fn admittance_matrix(
        &self,
        functions: &[BasisFunction],
        overlaps: &[[OverlapIntegrals; 2]],
        hz: f64,
    ) -> AdmittanceMatrix {
        let wall = self.wall.at(hz);
        if self.patches.is_empty() {
            return AdmittanceMatrix::Uniform(wall);
        }
        let excess: Vec<Complex64> =
            self.patches.iter().map(|patch| patch.admittance.at(hz) - wall).collect();
        let [a, b] = self.surface.tape_axes();
        let entry = |i: usize, j: usize| {
            let (one, other) = (&functions[i].n, &functions[j].n);
            let patches = excess.iter().zip(overlaps).map(|(excess, [first, second])| {
                excess * (first.of(one[a], other[a]) * second.of(one[b], other[b]))
            });
            let diagonal = if i == j { wall } else { Complex64::ZERO };
            diagonal + patches.sum::<Complex64>()
        };
        let count = functions.len();
        let mut matrix = faer::Mat::zeros(count, count);
        for i in 0..count {
            for j in i..count {
                matrix[(i, j)] = entry(i, j);
                matrix[(j, i)] = matrix[(i, j)];
            }
        }
        AdmittanceMatrix::Dense(matrix)
    }
}
