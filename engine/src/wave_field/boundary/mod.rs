//! Admittance of the room's surfaces and of the panels on them, and its matrix in a cosine basis.

mod admittance;
mod surface_basis;

pub(super) use admittance::Admittance;
pub(super) use surface_basis::{BasisFunction, SurfaceBasis};

use super::modes::shape_at_surface;
use crate::scene::{Panel, Room, Scene, Surface, Variant};
use faer::Mat;
use num_complex::Complex64;
use std::ops::Range;
use surface_basis::overlap;

/// Admittance of all six surfaces.
#[derive(Debug, Clone)]
pub(super) struct RoomBoundary(Vec<WallAdmittance>);

/// Admittance of one surface, piecewise constant.
#[derive(Debug, Clone)]
struct WallAdmittance {
    surface: Surface,
    wall: Admittance,
    patches: Vec<AdmittancePatches>,
}

/// Rectangles with the admittance of panels of one material instead of that of the surface behind.
#[derive(Debug, Clone)]
struct AdmittancePatches {
    /// Index of the material.
    material: usize,
    /// Interval of each along the surface's two tape coordinates, metres.
    intervals_m: Vec<[[f64; 2]; 2]>,
    admittance: Admittance,
}

/// Matrix `∮ β φ_i φ_j dS` of one surface's admittance in its cosines.
#[derive(Debug)]
pub(super) enum AdmittanceMatrix {
    /// Multiple of the identity: the surface has no panels.
    Uniform(Complex64),
    /// Symmetric matrix of a surface with panels.
    Dense(Mat<Complex64>),
}

impl RoomBoundary {
    /// Boundary of a scene in one of its states.
    pub(super) fn new(scene: &Scene, variant: &Variant<'_>) -> Self {
        let admittance = |index: usize| Admittance::new(&scene.materials()[index], scene.air());
        let wall = |surface: Surface| {
            let mut patches: Vec<AdmittancePatches> = Vec::new();
            for panel in variant.panels.iter().filter(|panel| panel.on == surface) {
                let interval_m = interval_m(panel);
                match patches.iter_mut().find(|alike| alike.material == panel.material) {
                    Some(alike) => alike.intervals_m.push(interval_m),
                    None => patches.push(AdmittancePatches {
                        material: panel.material,
                        intervals_m: vec![interval_m],
                        admittance: admittance(panel.material),
                    }),
                }
            }
            let wall = admittance(scene.surface_material_index(surface));
            WallAdmittance { surface, wall, patches }
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
            let panels = wall.patches.iter().map(|alike| alike.intervals_m.as_slice());
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
            .map(|((wall, range), overlaps)| (range.clone(), wall.admittance_matrix(overlaps, hz)))
            .collect()
    }
}

impl WallAdmittance {
    fn modal_damping(&self, room: &Room, n: [usize; 3], hz: f64) -> f64 {
        let (size, axis) = (room.size(), self.surface.axis());
        let wall = self.wall.at(hz);
        let along = self.surface.tape_axes();
        let overlap_of = |interval_m: &[[f64; 2]; 2]| -> f64 {
            let sides = along.iter().zip(interval_m);
            sides.map(|(&axis, &side_m)| overlap(n[axis], n[axis], size[axis], side_m)).product()
        };
        let patches = self.patches.iter().map(|alike| {
            let excess = alike.admittance.at(hz) - wall;
            excess * alike.intervals_m.iter().map(overlap_of).sum::<f64>()
        });
        shape_at_surface(n[axis], self.surface, room).powi(2)
            * (wall + patches.sum::<Complex64>()).re
    }

    fn admittance_matrix(&self, overlaps: &[Mat<f64>], hz: f64) -> AdmittanceMatrix {
        let wall = self.wall.at(hz);
        let Some(first) = overlaps.first() else { return AdmittanceMatrix::Uniform(wall) };
        let count = first.nrows();
        let mut matrix = Mat::zeros(count, count);
        for (alike, overlap) in self.patches.iter().zip(overlaps) {
            let excess = alike.admittance.at(hz) - wall;
            for j in 0..count {
                for i in 0..count {
                    matrix[(i, j)] += excess * overlap[(i, j)];
                }
            }
        }
        for i in 0..count {
            matrix[(i, i)] += wall;
        }
        AdmittanceMatrix::Dense(matrix)
    }
}

/// Interval of a panel along each of its surface's two tape coordinates, metres.
fn interval_m(panel: &Panel) -> [[f64; 2]; 2] {
    [0, 1].map(|side| [-0.5, 0.5].map(|half| panel.centre_m[side] + half * panel.size_m[side]))
}
