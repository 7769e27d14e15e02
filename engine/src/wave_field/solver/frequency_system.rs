//! Boundary-integral system at one frequency.
//!
//! With u the coefficients of the pressure on the surfaces in the cosine basis, B the admittance
//! matrix, S the Green's function of the rigid room between basis functions and s that from a source,
//! `(1 + jk·S·B)·u = 4π·s`. The pressure at a receiver r is `G(r, source) − r·(jk·B·u)`.

use super::condensed_surfaces::CondensedSurfaces;
use super::field_at_receivers::FieldAtReceivers;
use super::modal_remainder::ModalRemainder;
use super::rigid_greens::RigidGreens;
use super::sub_band::{BasisAtPoint, SubBand};
use crate::scene::Room;
use crate::wave_field::bodies::{LayerGreens, PointLayers};
use crate::wave_field::boundary::{AdmittanceMatrix, RoomBoundary};
use crate::wave_field::modes::Mode;
use faer::linalg::solvers::{PartialPivLu, Solve};
use faer::{Mat, Par};
use num_complex::Complex64;
use std::f64::consts::PI;
use std::ops::Range;

/// System at one frequency, factorized.
#[derive(Debug)]
pub(super) struct FrequencySystem<'a> {
    pub(super) rigid: RigidGreens<'a>,
    admittances: Vec<(Range<usize>, AdmittanceMatrix)>,
    pub(super) condensed: CondensedSurfaces<'a>,
    lu: PartialPivLu<Complex64>,
}

/// Sources and receivers as the functions of a sub-band see them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Points<'a> {
    pub(super) sources: &'a [BasisAtPoint],
    pub(super) receivers: &'a [BasisAtPoint],
    /// Sources and receivers as the layers on bodies see them; `None` in a room without.
    pub(super) layers: Option<[&'a PointLayers; 2]>,
}

/// Solution for one source at one frequency.
#[derive(Debug, Clone)]
struct SourceSolution {
    /// Flux into the surfaces jk·B·u, in the cosine basis, and what the layers on the bodies take off.
    boundary_flux: Vec<Complex64>,
    /// Amplitudes of the explicit modes.
    modal_amplitudes: Vec<Complex64>,
    /// Amplitudes of the explicit modes in the rigid room.
    rigid_amplitudes: Vec<Complex64>,
}

impl<'a> FrequencySystem<'a> {
    /// System of a sub-band at a frequency in hertz and its wavenumber with loss, rad/m.
    pub(super) fn new(
        room: &Room,
        boundary: &RoomBoundary,
        sub_band: &'a SubBand,
        hz: f64,
        k: Complex64,
    ) -> Self {
        let rigid = RigidGreens::new(room, sub_band, hz, k);
        let admittances = boundary.admittance_matrices(&sub_band.basis, hz);
        let condensed = CondensedSurfaces::new(&sub_band.condensation, room, &rigid, &admittances);
        let greens = condensed.greens_matrix(room, &rigid);
        let layers = rigid.layers.as_ref().map_or(0, LayerGreens::count);
        let admittances_kept = condensed.kept_admittances(&admittances);
        let lu = system_matrix(&greens, admittances_kept, layers, k).partial_piv_lu();
        Self { rigid, admittances, condensed, lu }
    }

    /// Field of sources at receivers, with the remainders of G source by source, in the space made for
    /// it.
    pub(super) fn field(
        &self,
        points: &Points<'_>,
        remainders: &[ModalRemainder],
        field: &mut FieldAtReceivers,
    ) {
        let Points { sources, receivers, layers } = *points;
        let solutions = self.solutions(sources, layers.map(|[sources, _]| sources));
        for (r, receiver) in receivers.iter().enumerate() {
            let projection = self.rigid.projection(receiver);
            for (s, solution) in solutions.iter().enumerate() {
                let remainder = remainders[s * receivers.len() + r].at(&self.rigid.interpolation);
                field.pressure[s].push(
                    solution.explicit_sum(receiver) + remainder
                        - solution.scattered_at(&projection),
                );
            }
        }
        if let (Some(greens), Some([_, receivers])) = (&self.rigid.layers, layers) {
            let functions = self.rigid.sub_band.basis.functions.len();
            let unknowns: Vec<&[Complex64]> =
                solutions.iter().map(|solution| &solution.boundary_flux[functions..]).collect();
            let taken_off = greens.taken_off(&unknowns, receivers);
            for (pressure, taken_off) in field.pressure.iter_mut().zip(taken_off) {
                for (pressure, taken_off) in pressure.iter_mut().zip(taken_off) {
                    *pressure -= taken_off;
                }
            }
        }
        for (amplitudes, solution) in field.modal_amplitudes.iter_mut().zip(&solutions) {
            amplitudes.extend_from_slice(&solution.modal_amplitudes);
        }
    }

    /// Solutions for sources whose free field is e^(−jkr)/r, for a time dependence of e^(jωt).
    fn solutions(
        &self,
        sources: &[BasisAtPoint],
        layers: Option<&PointLayers>,
    ) -> Vec<SourceSolution> {
        let mut incident = self.rigid.projections(sources, layers);
        for value in incident.iter_mut().flatten() {
            *value *= 4.0 * PI;
        }
        let condensed: Vec<Vec<Complex64>> =
            incident.iter().map(|incident| self.condensed.condense(incident)).collect();
        let count = condensed.first().map_or(0, Vec::len);
        let kept = self.lu.solve(Mat::from_fn(count, sources.len(), |row, s| condensed[s][row]));
        let solution = |(s, source): (usize, &BasisAtPoint)| {
            let mut pressure = self.condensed.spread(kept.col(s).iter().copied());
            let flux = self.boundary_flux(&pressure);
            self.condensed.recover(&incident[s], &flux, &mut pressure);
            let boundary_flux = self.boundary_flux(&pressure);
            let rigid_amplitudes = self.rigid.modal_amplitudes(source);
            SourceSolution {
                modal_amplitudes: self.modal_amplitudes(&rigid_amplitudes, &boundary_flux),
                boundary_flux,
                rigid_amplitudes,
            }
        };
        sources.iter().enumerate().map(solution).collect()
    }

    /// Reaction operator jk·B·(1 + jk·S̃·B)⁻¹ of the surfaces kept, from the pressure there before they
    /// react to the flux into them; symmetric by reciprocity.
    pub(super) fn reaction_operator(&self) -> Mat<Complex64> {
        let count = self.condensed.kept_count();
        let inverse = self.lu.solve(Mat::<Complex64>::identity(count, count));
        let mut operator = Mat::zeros(count, count);
        for column in 0..count {
            let pressure = self.condensed.spread(inverse.col(column).iter().copied());
            let flux = self.condensed.kept_of(&self.boundary_flux(&pressure));
            for (row, flux) in flux.into_iter().enumerate() {
                operator[(row, column)] = flux;
            }
        }
        operator
    }

    /// Flux jk·B·u of a pressure u on the surfaces.
    fn boundary_flux(&self, pressure: &[Complex64]) -> Vec<Complex64> {
        let jk = Complex64::I * self.rigid.k;
        let mut flux = Vec::with_capacity(pressure.len());
        let layers = self.rigid.sub_band.basis.functions.len();
        for (range, matrix) in &self.admittances {
            let on_surface = &pressure[range.clone()];
            match matrix {
                AdmittanceMatrix::Uniform(admittance) => {
                    flux.extend(on_surface.iter().map(|u| jk * admittance * u));
                }
                AdmittanceMatrix::Dense(matrix) => {
                    let row = |i: usize| -> Complex64 {
                        on_surface.iter().enumerate().map(|(j, u)| matrix[(j, i)] * u).sum()
                    };
                    flux.extend((0..on_surface.len()).map(|i| jk * row(i)));
                }
            }
        }
        flux.extend_from_slice(&pressure[layers..]);
        flux
    }

    /// Adds what the layers on bodies take off each explicit mode.
    fn add_layers(&self, flux: &[Complex64], absorbed: &mut [Complex64]) {
        let Some(layers) = &self.rigid.layers else { return };
        let flux = &flux[self.rigid.sub_band.basis.functions.len()..];
        for (absorbed, on_mode) in absorbed.iter_mut().zip(layers.on_modes.col_iter()) {
            *absorbed += on_mode.iter().zip(flux).map(|(a, b)| a * b).sum::<Complex64>();
        }
    }

    /// Amplitudes `q_N` of the explicit modes: `q_N·(k_N² − k²) = 4π·ψ_N(s) − jk ∮ β ψ_N p dS`.
    fn modal_amplitudes(&self, rigid: &[Complex64], boundary_flux: &[Complex64]) -> Vec<Complex64> {
        let sub_band = self.rigid.sub_band;
        let mut absorbed = vec![Complex64::ZERO; sub_band.modes.len()];
        for coupling in &sub_band.couplings {
            absorbed[coupling.mode] += coupling.factor * boundary_flux[coupling.function];
        }
        self.add_layers(boundary_flux, &mut absorbed);
        let k2 = self.rigid.k * self.rigid.k;
        let amplitude = |((rigid, absorbed), mode): ((&Complex64, Complex64), &Mode)| {
            rigid - absorbed / (mode.wavenumber_per_m.powi(2) - k2)
        };
        rigid.iter().zip(absorbed).zip(&sub_band.modes).map(amplitude).collect()
    }
}

impl SourceSolution {
    /// Explicit modal sum of G at a point of the rigid room.
    fn explicit_sum(&self, point: &BasisAtPoint) -> Complex64 {
        self.rigid_amplitudes.iter().zip(&point.modes).map(|(q, shape)| q * shape).sum()
    }

    /// Field scattered by the surfaces at a point with this projection.
    fn scattered_at(&self, projection: &[Complex64]) -> Complex64 {
        self.boundary_flux.iter().zip(projection).map(|(q, s)| q * s).sum()
    }
}

/// Matrix `1 + jk·S·B` of the system, with the admittance of each range of functions; S itself for the layers on bodies,
/// the last so many, whose unknown is what they take off the field.
fn system_matrix<'a>(
    greens: &Mat<Complex64>,
    admittances: impl Iterator<Item = (Range<usize>, &'a AdmittanceMatrix)>,
    layers: usize,
    k: Complex64,
) -> Mat<Complex64> {
    let count = greens.nrows();
    let mut system = Mat::<Complex64>::identity(count, count);
    for column in count - layers..count {
        for row in 0..count {
            system[(row, column)] = greens[(row, column)];
        }
    }
    let jk = Complex64::I * k;
    for (range, matrix) in admittances {
        let from = greens.subcols(range.start, range.len());
        let mut into = system.as_mut().subcols_mut(range.start, range.len());
        match matrix {
            AdmittanceMatrix::Uniform(admittance) => {
                for column in 0..range.len() {
                    for row in 0..count {
                        into[(row, column)] += jk * admittance * from[(row, column)];
                    }
                }
            }
            AdmittanceMatrix::Dense(matrix) => {
                faer::linalg::matmul::matmul(into, faer::Accum::Add, from, matrix, jk, Par::Seq);
            }
        }
    }
    system
}
