//! The pressure of any source at any point, frequency by frequency.
//!
//! Green's theorem with the Green's function G of the rigid room turns the walls into sources:
//! `p(r) = G(r, s) − (jk/4π) ∮ β G(r, r′) p(r′) dS′`. With the pressure on the surfaces written as
//! sums of cosines, and G summed in closed form along the axis across a surface, this is a small dense
//! system for what the surfaces take in. Nothing is cut off but cosines along the surfaces.

mod axial_greens;
pub(super) mod factorized;
mod modal_remainder;
mod sub_band;

use crate::medium::air::Air;
use crate::scene::{Room, Scene, Variant};
use crate::wave_field::boundary::{AdmittanceMatrix, BasisFunction, RoomBoundary};
use crate::wave_field::modes::{Mode, shape};
use crate::wave_field::solver::axial_greens::AxialGreens;
use crate::wave_field::solver::factorized::{FactorizedBand, FactorizedSystem};
use crate::wave_field::solver::modal_remainder::ModalRemainder;
use crate::wave_field::solver::sub_band::{BasisAtPoint, SubBand};
use faer::linalg::solvers::{PartialPivLu, Solve};
use faer::{Mat, Par};
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use std::f64::consts::{LN_10, PI, TAU};
use std::ops::Range;

/// A trace of loss, as a share of the wavenumber, so that G is finite at the rigid room's resonances,
/// where what it gives and what the surfaces take nearly cancel. A room that rings for a second at
/// 50 Hz loses 1e-2 by itself; with less than this, rounding grows as its inverse square.
const REGULARIZATION_LOSS: f64 = 1e-5;

/// A room made ready for a range of frequencies.
#[derive(Debug)]
pub(crate) struct BoundarySolver {
    room: Room,
    surfaces: RoomBoundary,
    air: Air,
    stretches: Vec<SubBand>,
}

/// One frequency, solved for any source.
#[derive(Debug)]
struct FrequencySystem<'a> {
    stretch: &'a SubBand,
    k: Complex64,
    lines: Vec<AxialGreens>,
    blocks: Vec<(Range<usize>, AdmittanceMatrix)>,
    system: PartialPivLu<Complex64>,
}

/// What all receivers hear of all sources at one frequency.
#[derive(Debug, Clone)]
pub(crate) struct FieldAtReceivers {
    /// For each source, the pressure at each receiver.
    pub(crate) pressure: Vec<Vec<Complex64>>,
    /// For each source, how strongly each mode written out sounds.
    pub(super) modal_amplitudes: Vec<Vec<Complex64>>,
}

/// A source at one frequency.
#[derive(Debug, Clone)]
struct SourceSolution {
    /// What the surfaces take in, cosine by cosine, times jk.
    taken: Vec<Complex64>,
    /// How strongly each rigid mode sounds.
    modal_amplitudes: Vec<Complex64>,
    /// How strongly each would sound in the rigid room.
    rigid: Vec<Complex64>,
}

impl BoundarySolver {
    /// For rising frequencies in hertz.
    pub(crate) fn new(scene: &Scene, variant: &Variant<'_>, hz: &[f64]) -> Self {
        let surfaces = RoomBoundary::new(scene, variant);
        let (room, air) = (*scene.room(), *scene.air());
        let stretches = SubBand::all(&room, &surfaces, &air, hz);
        Self { room, surfaces, air, stretches }
    }

    /// Pressure of sources of e^(−jkr)/r in the open at receivers, for a time dependence of e^(jωt).
    pub(crate) fn field(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<FieldAtReceivers> {
        let stretch = |stretch: &SubBand| {
            let rests: Vec<ModalRemainder> = SubBand::pairs(sources, receivers)
                .par_iter()
                .map(|&(s, r)| stretch.rest(s, r))
                .collect();
            let spots = |points: &[DVec3]| -> Vec<BasisAtPoint> {
                points.par_iter().map(|&point| stretch.spot(point)).collect()
            };
            let (from, to) = (spots(sources), spots(receivers));
            let one = |&hz: &f64| self.tone(stretch, hz).heard(&from, &to, &rests);
            stretch.hz.par_iter().map(one).collect::<Vec<_>>()
        };
        self.stretches.iter().flat_map(stretch).collect()
    }

    /// Every frequency, solved and kept.
    pub(super) fn factorize(&self) -> Vec<FactorizedBand<'_>> {
        let stretch = |stretch| {
            let tone = |&hz: &f64| FactorizedSystem::new(&self.tone(stretch, hz));
            FactorizedBand { stretch, tones: stretch.hz.par_iter().map(tone).collect() }
        };
        self.stretches.iter().map(stretch).collect()
    }

    /// Rigid modes written out at a frequency of the range.
    pub(super) fn modes_at(&self, hz: f64) -> &[Mode] {
        let holds = |stretch: &&SubBand| stretch.hz.contains(&hz);
        self.stretches.iter().find(holds).map_or(&[], |stretch| &stretch.modes)
    }

    /// A frequency of a stretch, ready to be asked.
    fn tone<'a>(&'a self, stretch: &'a SubBand, hz: f64) -> FrequencySystem<'a> {
        self.tone_of(stretch, hz, self.wavenumber(hz))
    }

    /// The same for a wavenumber with any loss.
    fn tone_of<'a>(&'a self, stretch: &'a SubBand, hz: f64, k: Complex64) -> FrequencySystem<'a> {
        let size = self.room.size();
        let ripples = &stretch.ripples.all;
        let lines: Vec<AxialGreens> = ripples
            .iter()
            .map(|r| AxialGreens::new(r.k2 - k * k, size[r.surface.axis()]))
            .collect();
        let blocks = self.surfaces.blocks(&stretch.ripples, hz);
        let system = system(&self.room, ripples, &lines, &blocks, k);
        FrequencySystem { stretch, k, lines, blocks, system: system.partial_piv_lu() }
    }

    /// Wavenumber at a frequency, with what the air takes and the trace of loss.
    fn wavenumber(&self, hz: f64) -> Complex64 {
        let real = TAU * hz / self.air.speed_of_sound_m_s();
        Complex64::new(real, -self.air_nepers_per_m(hz) - REGULARIZATION_LOSS * real)
    }

    /// What the air takes of the amplitude; 20·lg e decibels are a neper.
    fn air_nepers_per_m(&self, hz: f64) -> f64 {
        if self.air.absorption { self.air.attenuation_db_per_m_at(hz) * LN_10 / 20.0 } else { 0.0 }
    }

    /// Decay time of a mode to −60 dB, seconds, from its own damping at its own frequency: to first
    /// order `k ≈ k_N + jD_NN/2`, so its energy falls as `e^(−c·Re D_NN·t)`. `None` for the even pressure
    /// and without damping.
    pub(super) fn decay_s(&self, mode: &Mode) -> Option<f64> {
        let speed = self.air.speed_of_sound_m_s();
        let hz = mode.hz(speed);
        if hz <= 0.0 {
            return None;
        }
        let damping = self.surfaces.damping(&self.room, mode.n, hz);
        let damping = damping + 2.0 * self.air_nepers_per_m(hz);
        (damping > 0.0).then(|| 6.0 * LN_10 / (speed * damping))
    }
}

/// `1 + jk·S·B`: S green_matrix the cosines of all surfaces by G, B is what the surfaces answer.
fn system(
    room: &Room,
    ripples: &[BasisFunction],
    lines: &[AxialGreens],
    blocks: &[(Range<usize>, AdmittanceMatrix)],
    k: Complex64,
) -> Mat<Complex64> {
    let count = ripples.len();
    let green_matrix =
        Mat::from_fn(count, count, |i, j| tie(room, [&ripples[i], &ripples[j]], &lines[i], k));
    let mut system = Mat::<Complex64>::identity(count, count);
    let jk = Complex64::I * k;
    for (range, block) in blocks {
        let from = green_matrix.subcols(range.start, range.len());
        let mut into = system.as_mut().subcols_mut(range.start, range.len());
        match block {
            AdmittanceMatrix::Uniform(admittance) => {
                for column in 0..range.len() {
                    for row in 0..count {
                        into[(row, column)] += jk * admittance * from[(row, column)];
                    }
                }
            }
            AdmittanceMatrix::Dense(block) => {
                faer::linalg::matmul::matmul(into, faer::Accum::Add, from, block, jk, Par::Seq);
            }
        }
    }
    system
}

/// `(1/4π) ∮∮ φ_i G φ_j dS dS′`.
fn tie(
    room: &Room,
    [one, other]: [&BasisFunction; 2],
    line: &AxialGreens,
    k: Complex64,
) -> Complex64 {
    let (a, b) = (one.surface.axis(), other.surface.axis());
    if a == b {
        if one.n != other.n {
            return Complex64::ZERO;
        }
        return if one.surface == other.surface { line.same() } else { line.opposite() };
    }
    let shared = 3 - a - b;
    if one.n[shared] != other.n[shared] {
        return Complex64::ZERO;
    }
    // Counts along `b` are those of the first, along `a` those of the second.
    let size = room.size();
    let end = |surface: crate::scene::Surface, n: usize| {
        let axis = surface.axis();
        shape(n, size[axis], if surface.is_far() { size[axis] } else { 0.0 })
    };
    let ends = end(one.surface, other.n[a]) * end(other.surface, one.n[b]);
    let across = PI * other.n[a] as f64 / size[a];
    ends / (one.k2 + across * across - k * k)
}

impl FrequencySystem<'_> {
    /// The square of the wavenumber, 1/m².
    fn k2(&self) -> Complex64 {
        self.k * self.k
    }

    /// What receivers hear of sources, with what the rigid room adds for each of them.
    fn heard(
        &self,
        sources: &[BasisAtPoint],
        receivers: &[BasisAtPoint],
        rests: &[ModalRemainder],
    ) -> FieldAtReceivers {
        let sounding = self.sound(sources);
        let mut pressure = vec![Vec::with_capacity(receivers.len()); sources.len()];
        for (r, receiver) in receivers.iter().enumerate() {
            let ears = project(self.stretch, &self.lines, receiver);
            for (s, source) in sounding.iter().enumerate() {
                let rest = rests[s * receivers.len() + r].at(self.k2());
                pressure[s].push(source.rigid(receiver) + rest - source.scattered_at(&ears));
            }
        }
        FieldAtReceivers {
            pressure,
            modal_amplitudes: sounding.into_iter().map(|source| source.modal_amplitudes).collect(),
        }
    }

    /// Solves for sources of e^(−jkr)/r in the open, for a time dependence of e^(jωt).
    fn sound(&self, sources: &[BasisAtPoint]) -> Vec<SourceSolution> {
        let seen: Vec<Vec<Complex64>> =
            sources.iter().map(|spot| project(self.stretch, &self.lines, spot)).collect();
        let count = self.lines.len();
        let wanted = Mat::from_fn(count, sources.len(), |i, s| 4.0 * PI * seen[s][i]);
        let pressure = self.system.solve(&wanted);
        let one = |(s, spot): (usize, &BasisAtPoint)| {
            let taken = self.taken(&(0..count).map(|i| pressure[(i, s)]).collect::<Vec<_>>());
            let modal_amplitudes = self.modal_amplitudes(spot, &taken);
            SourceSolution {
                taken,
                modal_amplitudes,
                rigid: rigid_amplitudes(self.stretch, self.k, spot),
            }
        };
        sources.iter().enumerate().map(one).collect()
    }

    /// jk·B·(1 + jk·S·B)⁻¹, which makes of what the surfaces would hear what they take in; symmetric.
    fn whole(&self) -> Mat<Complex64> {
        let count = self.lines.len();
        let inverse = self.system.solve(Mat::<Complex64>::identity(count, count));
        let mut whole = Mat::zeros(count, count);
        for column in 0..count {
            let pressure: Vec<Complex64> = (0..count).map(|row| inverse[(row, column)]).collect();
            for (row, taken) in self.taken(&pressure).into_iter().enumerate() {
                whole[(row, column)] = taken;
            }
        }
        whole
    }

    /// jk·B·u.
    fn taken(&self, pressure: &[Complex64]) -> Vec<Complex64> {
        let jk = Complex64::I * self.k;
        let mut taken = Vec::with_capacity(pressure.len());
        for (range, block) in &self.blocks {
            let on = &pressure[range.clone()];
            match block {
                AdmittanceMatrix::Uniform(admittance) => {
                    taken.extend(on.iter().map(|u| jk * admittance * u))
                }
                AdmittanceMatrix::Dense(block) => taken.extend((0..on.len()).map(|i| {
                    jk * on.iter().enumerate().map(|(j, u)| block[(j, i)] * u).sum::<Complex64>()
                })),
            }
        }
        taken
    }

    /// Each rigid mode: `q_N·(k_N² − k²) = 4π·ψ_N(s) − jk ∮ β ψ_N p dS`.
    fn modal_amplitudes(&self, source: &BasisAtPoint, taken: &[Complex64]) -> Vec<Complex64> {
        let mut drained = vec![Complex64::ZERO; self.stretch.modes.len()];
        for &(ripple, mode, end) in &self.stretch.mode_coupling {
            drained[mode] += end * taken[ripple];
        }
        let given = rigid_amplitudes(self.stretch, self.k, source);
        let one = |((given, drained), mode): ((Complex64, Complex64), &Mode)| {
            given - drained / (mode.wavenumber_per_m.powi(2) - self.k * self.k)
        };
        given.into_iter().zip(drained).zip(&self.stretch.modes).map(one).collect()
    }
}

/// How strongly each mode sounds in the rigid room: `4π·ψ_N(s)/(k_N² − k²)`.
fn rigid_amplitudes(stretch: &SubBand, k: Complex64, source: &BasisAtPoint) -> Vec<Complex64> {
    let one =
        |(mode, shape): (&Mode, &f64)| 4.0 * PI * shape / (mode.wavenumber_per_m.powi(2) - k * k);
    stretch.modes.iter().zip(&source.modes).map(one).collect()
}

/// `(1/4π) ∮ φ_i G(r′, spot) dS′` for every cosine.
fn project(stretch: &SubBand, lines: &[AxialGreens], spot: &BasisAtPoint) -> Vec<Complex64> {
    let one = |((ripple, line), along): ((&BasisFunction, &AxialGreens), &f64)| {
        let surface = 2 * ripple.surface.axis() + usize::from(ripple.surface.is_far());
        line.at(spot.away_m[surface]) * along
    };
    stretch.ripples.all.iter().zip(lines).zip(&spot.along).map(one).collect()
}

impl SourceSolution {
    /// What modes written out give at a spot of the rigid room.
    fn rigid(&self, spot: &BasisAtPoint) -> Complex64 {
        self.rigid.iter().zip(&spot.modes).map(|(q, shape)| q * shape).sum()
    }

    /// What the surfaces take from a place that hears them so.
    fn scattered_at(&self, ears: &[Complex64]) -> Complex64 {
        self.taken.iter().zip(ears).map(|(q, s)| q * s).sum()
    }
}

#[cfg(test)]
mod tests;
