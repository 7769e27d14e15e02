//! The pressure of any source at any point, frequency by frequency.
//!
//! Green's theorem with the Green's function G of the rigid room turns the walls into sources:
//! `p(r) = G(r, s) − (jk/4π) ∮ β G(r, r′) p(r′) dS′`. With the pressure on the surfaces written as
//! sums of cosines, and G summed in closed form along the axis across a surface, this is a small dense
//! system for what the surfaces take in. Nothing is cut off but cosines along the surfaces.

use super::modes::{Mode, modes_up_to, shape};
use super::residual::{Rest, Solved};
use super::surfaces::{Block, Ripple, Ripples, Surfaces};
use crate::air::Air;
use crate::scene::{Room, Scene, State};
use faer::linalg::solvers::{PartialPivLu, Solve};
use faer::{Mat, Par};
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::f64::consts::{LN_10, PI, TAU};
use std::ops::Range;

/// Cosines along a surface are taken up to so many times the highest wavenumber of a stretch, and so
/// much higher, 1/m.
const CUT: (f64, f64) = (1.25, 2.0);
/// Rigid modes for which G is written out go up to so many times the highest wavenumber of a stretch.
const MODES_CUT: f64 = 1.2;
/// A trace of loss, as a share of the wavenumber, so that G is finite at the rigid room's resonances,
/// where what it gives and what the surfaces take nearly cancel. A room that rings for a second at
/// 50 Hz loses 1e-2 by itself; with less than this, rounding grows as its inverse square.
const TRACE: f64 = 1e-5;

/// A room made ready for a range of frequencies.
#[derive(Debug)]
pub(super) struct Solver {
    room: Room,
    surfaces: Surfaces,
    air: Air,
    stretches: Vec<Stretch>,
}

/// Frequencies within an octave, for which the same cosines serve.
#[derive(Debug)]
pub(super) struct Stretch {
    /// Frequencies, hertz.
    pub(super) hz: Vec<f64>,
    /// Rigid modes written out, in rising order.
    pub(super) modes: Vec<Mode>,
    ripples: Ripples,
    solved: Solved,
    /// Range of k², 1/m².
    k2: [f64; 2],
}

/// One frequency, solved for any source.
#[derive(Debug)]
pub(super) struct Tone<'a> {
    room: &'a Room,
    stretch: &'a Stretch,
    k: Complex64,
    lines: Vec<Line>,
    blocks: Vec<(Range<usize>, Block)>,
    system: PartialPivLu<Complex64>,
}

/// The closed form of G across a surface, for one cosine along it: `g(0, x) =
/// (e^(−γx) + e^(−γ(2L − x)))/(γ(1 − e^(−2γL)))`, with γ² = k² of the cosine − k².
#[derive(Debug, Clone, Copy)]
struct Line {
    gamma: Complex64,
    /// 1/(γ(1 − e^(−2γL))).
    scale: Complex64,
    /// e^(−2γL).
    round: Complex64,
    length_m: f64,
}

/// What all receivers hear of all sources at one frequency.
#[derive(Debug, Clone)]
pub(super) struct Heard {
    /// For each source, the pressure at each receiver.
    pub(super) pressure: Vec<Vec<Complex64>>,
    /// For each source, how strongly each mode written out sounds.
    pub(super) strength: Vec<Vec<Complex64>>,
}

/// A source at one frequency.
#[derive(Debug, Clone)]
pub(super) struct Sounding {
    /// What the surfaces take in, cosine by cosine, times jk.
    taken: Vec<Complex64>,
    /// How strongly each rigid mode sounds.
    pub(super) strength: Vec<Complex64>,
    /// How strongly each would sound in the rigid room.
    rigid: Vec<Complex64>,
}

/// How a point hears the surfaces at one frequency.
#[derive(Debug, Clone)]
pub(super) struct Ear {
    ripples: Vec<Complex64>,
    modes: Vec<f64>,
}

impl Solver {
    /// For rising frequencies in hertz.
    pub(super) fn new(scene: &Scene, state: &State<'_>, hz: &[f64]) -> Self {
        let surfaces = Surfaces::new(scene, state);
        let (room, air) = (*scene.room(), *scene.air());
        let mut stretches = Vec::new();
        let mut rest_of = hz;
        while let Some(&first) = rest_of.first() {
            let (stretch, after) =
                rest_of.split_at(rest_of.partition_point(|&hz| hz <= 2f64.sqrt() * first));
            rest_of = after;
            stretches.push(Stretch::new(&room, &surfaces, &air, stretch));
        }
        Self { room, surfaces, air, stretches }
    }

    /// Pressure of sources of e^(−jkr)/r in the open at receivers, for a time dependence of e^(jωt).
    pub(super) fn field(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Heard> {
        let stretch = |stretch: &Stretch| {
            let pairs = sources.iter().flat_map(|&s| receivers.iter().map(move |&r| (s, r)));
            let pairs: Vec<(DVec3, DVec3)> = pairs.collect();
            let rests: Vec<Rest> =
                pairs.par_iter().map(|&(s, r)| stretch.rest(&self.room, s, r)).collect();
            let one = |&hz: &f64| self.heard(stretch, hz, sources, receivers, &rests);
            stretch.hz.par_iter().map(one).collect::<Vec<_>>()
        };
        self.stretches.iter().flat_map(stretch).collect()
    }

    fn heard(
        &self,
        stretch: &Stretch,
        hz: f64,
        sources: &[DVec3],
        receivers: &[DVec3],
        rests: &[Rest],
    ) -> Heard {
        let tone = self.tone(stretch, hz);
        let sounding = tone.sound(sources);
        let mut pressure = vec![Vec::with_capacity(receivers.len()); sources.len()];
        for (r, &receiver) in receivers.iter().enumerate() {
            let ear = tone.ear(receiver);
            for (s, source) in sounding.iter().enumerate() {
                let rest = rests[s * receivers.len() + r].at(tone.k2());
                pressure[s].push(source.pressure(&ear, rest));
            }
        }
        Heard { pressure, strength: sounding.into_iter().map(|source| source.strength).collect() }
    }

    /// Rigid modes written out at a frequency of the range.
    pub(super) fn modes_at(&self, hz: f64) -> &[Mode] {
        let holds = |stretch: &&Stretch| stretch.hz.contains(&hz);
        self.stretches.iter().find(holds).map_or(&[], |stretch| &stretch.modes)
    }

    /// A frequency of a stretch, ready to be asked.
    pub(super) fn tone<'a>(&'a self, stretch: &'a Stretch, hz: f64) -> Tone<'a> {
        self.tone_of(stretch, hz, self.wavenumber(hz))
    }

    /// The same for a wavenumber with any loss.
    fn tone_of<'a>(&'a self, stretch: &'a Stretch, hz: f64, k: Complex64) -> Tone<'a> {
        let size = self.room.size();
        let ripples = &stretch.ripples.all;
        let lines: Vec<Line> =
            ripples.iter().map(|r| Line::new(r.k2 - k * k, size[r.surface.axis()])).collect();
        let blocks = self.surfaces.blocks(&stretch.ripples, hz);
        let system = system(&self.room, ripples, &lines, &blocks, k);
        Tone { room: &self.room, stretch, k, lines, blocks, system: system.partial_piv_lu() }
    }

    /// Wavenumber at a frequency, with what the air takes and the trace of loss.
    fn wavenumber(&self, hz: f64) -> Complex64 {
        let real = TAU * hz / self.air.speed_of_sound_m_s();
        Complex64::new(real, -self.air_nepers_per_m(hz) - TRACE * real)
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

impl Stretch {
    fn new(room: &Room, surfaces: &Surfaces, air: &Air, hz: &[f64]) -> Self {
        let wide = |hz: Option<&f64>| TAU * hz.copied().unwrap_or(1.0) / air.speed_of_sound_m_s();
        let (low, high) = (wide(hz.first()), wide(hz.last()));
        let modes = modes_up_to(room, MODES_CUT * high);
        Self {
            hz: hz.to_vec(),
            ripples: surfaces.ripples(room, CUT.0 * high + CUT.1),
            solved: Solved::new(&modes),
            modes,
            // A stretch of one frequency is widened a little, for a polynomial needs a range.
            k2: [0.999 * low * low, 1.001 * high * high],
        }
    }

    /// What modes beyond those written out add between two points of the rigid room.
    pub(super) fn rest(&self, room: &Room, source: DVec3, receiver: DVec3) -> Rest {
        Rest::new(room, &self.solved, [source, receiver], self.k2)
    }
}

/// `1 + jk·S·B`: S ties the cosines of all surfaces by G, B is what the surfaces answer.
fn system(
    room: &Room,
    ripples: &[Ripple],
    lines: &[Line],
    blocks: &[(Range<usize>, Block)],
    k: Complex64,
) -> Mat<Complex64> {
    let count = ripples.len();
    let ties =
        Mat::from_fn(count, count, |i, j| tie(room, [&ripples[i], &ripples[j]], &lines[i], k));
    let mut system = Mat::<Complex64>::identity(count, count);
    let jk = Complex64::I * k;
    for (range, block) in blocks {
        let from = ties.subcols(range.start, range.len());
        let mut into = system.as_mut().subcols_mut(range.start, range.len());
        match block {
            Block::Even(admittance) => {
                for column in 0..range.len() {
                    for row in 0..count {
                        into[(row, column)] += jk * admittance * from[(row, column)];
                    }
                }
            }
            Block::Full(block) => {
                faer::linalg::matmul::matmul(into, faer::Accum::Add, from, block, jk, Par::Seq);
            }
        }
    }
    system
}

/// `(1/4π) ∮∮ φ_i G φ_j dS dS′`.
fn tie(room: &Room, [one, other]: [&Ripple; 2], line: &Line, k: Complex64) -> Complex64 {
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

impl Line {
    fn new(gamma2: Complex64, length_m: f64) -> Self {
        let gamma = gamma2.sqrt();
        let round = (-2.0 * gamma * length_m).exp();
        Self { gamma, scale: (gamma * (1.0 - round)).inv(), round, length_m }
    }

    /// From the surface to itself.
    fn same(&self) -> Complex64 {
        self.scale * (1.0 + self.round)
    }

    /// To the surface across.
    fn opposite(&self) -> Complex64 {
        self.scale * 2.0 * (-self.gamma * self.length_m).exp()
    }

    /// To a plane so far from the surface.
    fn at(&self, away_m: f64) -> Complex64 {
        let there = (-self.gamma * away_m).exp();
        self.scale * (there + self.round / there)
    }
}

impl Tone<'_> {
    /// The square of the wavenumber, 1/m².
    pub(super) fn k2(&self) -> Complex64 {
        self.k * self.k
    }

    /// How a point hears the surfaces.
    pub(super) fn ear(&self, point: DVec3) -> Ear {
        Ear {
            ripples: self.project(point),
            modes: self.stretch.modes.iter().map(|mode| mode.at(self.room, point)).collect(),
        }
    }

    /// `(1/4π) ∮ φ_i G(r′, point) dS′` for every cosine.
    fn project(&self, point: DVec3) -> Vec<Complex64> {
        let size = self.room.size();
        let one = |(ripple, line): (&Ripple, &Line)| {
            let (axis, along) = (ripple.surface.axis(), ripple.along(self.room, point));
            let away_m =
                if ripple.surface.is_far() { size[axis] - point[axis] } else { point[axis] };
            line.at(away_m) * along
        };
        self.stretch.ripples.all.iter().zip(&self.lines).map(one).collect()
    }

    /// Solves for sources of e^(−jkr)/r in the open, for a time dependence of e^(jωt).
    pub(super) fn sound(&self, sources: &[DVec3]) -> Vec<Sounding> {
        let projected: Vec<Vec<Complex64>> = sources.iter().map(|&at| self.project(at)).collect();
        let count = self.lines.len();
        let wanted = Mat::from_fn(count, sources.len(), |i, s| 4.0 * PI * projected[s][i]);
        let pressure = self.system.solve(&wanted);
        let one = |(s, &at): (usize, &DVec3)| {
            let taken = self.taken(&(0..count).map(|i| pressure[(i, s)]).collect::<Vec<_>>());
            let (strength, rigid) = self.strengths(at, &taken);
            Sounding { taken, strength, rigid }
        };
        sources.iter().enumerate().map(one).collect()
    }

    /// jk·B·u.
    fn taken(&self, pressure: &[Complex64]) -> Vec<Complex64> {
        let jk = Complex64::I * self.k;
        let mut taken = Vec::with_capacity(pressure.len());
        for (range, block) in &self.blocks {
            let on = &pressure[range.clone()];
            match block {
                Block::Even(admittance) => taken.extend(on.iter().map(|u| jk * admittance * u)),
                Block::Full(block) => taken.extend((0..on.len()).map(|i| {
                    jk * on.iter().enumerate().map(|(j, u)| block[(j, i)] * u).sum::<Complex64>()
                })),
            }
        }
        taken
    }

    /// Each rigid mode: `q_N·(k_N² − k²) = 4π·ψ_N(s) − jk ∮ β ψ_N p dS`, and the same without surfaces.
    fn strengths(&self, source: DVec3, taken: &[Complex64]) -> (Vec<Complex64>, Vec<Complex64>) {
        let size = self.room.size();
        let mut drained = vec![Complex64::ZERO; self.stretch.modes.len()];
        let places: BTreeMap<[usize; 3], usize> =
            self.stretch.modes.iter().enumerate().map(|(i, mode)| (mode.n, i)).collect();
        for (ripple, taken) in self.stretch.ripples.all.iter().zip(taken) {
            let axis = ripple.surface.axis();
            let end_m = if ripple.surface.is_far() { size[axis] } else { 0.0 };
            let mut n = ripple.n;
            while let Some(&place) = places.get(&n) {
                drained[place] += shape(n[axis], size[axis], end_m) * taken;
                n[axis] += 1;
            }
        }
        let one = |(mode, drained): (&Mode, Complex64)| {
            let far = mode.wavenumber_per_m.powi(2) - self.k * self.k;
            let given = 4.0 * PI * mode.at(self.room, source);
            ((given - drained) / far, given / far)
        };
        self.stretch.modes.iter().zip(drained).map(one).unzip()
    }
}

impl Sounding {
    /// Pressure at a point, with what modes not written out add in the rigid room.
    pub(super) fn pressure(&self, ear: &Ear, rest: Complex64) -> Complex64 {
        let rigid: Complex64 = self.rigid.iter().zip(&ear.modes).map(|(q, shape)| q * shape).sum();
        let taken: Complex64 = self.taken.iter().zip(&ear.ripples).map(|(q, s)| q * s).sum();
        rigid + rest - taken
    }
}

#[cfg(test)]
mod tests;
