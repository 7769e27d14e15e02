//! The pressure of every speaker at every point, frequency by frequency.

use super::coupling::Coupling;
use super::modes::{Mode, modes_up_to};
use super::residual::{Rest, Solved};
use crate::scene::{Room, Scene, State};
use faer::linalg::solvers::Solve;
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use std::f64::consts::{LN_10, PI, TAU};

/// A room made ready.
pub(super) struct Solver<'a> {
    room: &'a Room,
    coupling: Coupling,
    speed_of_sound_m_s: f64,
    /// What the air takes of the amplitude, nepers a metre, at a frequency.
    air: &'a crate::air::Air,
}

/// Pressure against frequency.
#[derive(Debug, Clone)]
pub(super) struct Field {
    /// For each frequency, for each source, for each receiver.
    pub(super) pressure: Vec<Vec<Vec<Complex64>>>,
    /// For each frequency, for each source, how strongly each mode sounds.
    pub(super) strength: Vec<Vec<Vec<Complex64>>>,
    /// For each frequency, the modes solved for.
    pub(super) modes: Vec<usize>,
    /// All modes, of which each frequency uses the first so many.
    pub(super) all_modes: Vec<Mode>,
}

/// At one frequency, for each source: how strongly each mode sounds, and the pressure at each receiver.
type Solution = (Vec<Vec<Complex64>>, Vec<Vec<Complex64>>);

/// Modes are solved for up to so many times the highest frequency of a stretch, and so much higher.
const CUT: (f64, f64) = (1.4, 40.0);

impl<'a> Solver<'a> {
    pub(super) fn new(scene: &'a Scene, state: &State<'_>) -> Self {
        Self {
            room: scene.room(),
            coupling: Coupling::new(scene, state),
            speed_of_sound_m_s: scene.air().speed_of_sound_m_s(),
            air: scene.air(),
        }
    }

    /// Wavenumber at a frequency, with what the air takes.
    fn wavenumber(&self, hz: f64) -> Complex64 {
        // 20·lg e decibels a neper.
        let nepers_per_m = self.air.attenuation_db_per_m_at(hz) * LN_10 / 20.0;
        let nepers_per_m = if self.air.absorption { nepers_per_m } else { 0.0 };
        Complex64::new(TAU * hz / self.speed_of_sound_m_s, -nepers_per_m)
    }

    /// Pressure of sources of e^(−jkr)/r at receivers, at rising frequencies in hertz, for a time
    /// dependence of e^(jωt).
    pub(super) fn field(&self, hz: &[f64], sources: &[DVec3], receivers: &[DVec3]) -> Field {
        let cut = |hz: f64| TAU * (CUT.0 * hz + CUT.1) / self.speed_of_sound_m_s;
        let all_modes = modes_up_to(self.room, cut(hz.last().copied().unwrap_or(0.0)));
        let mut field =
            Field { pressure: Vec::new(), strength: Vec::new(), modes: Vec::new(), all_modes };
        let mut rest_of = hz;
        while let Some(&first) = rest_of.first() {
            let count = rest_of.partition_point(|&hz| hz <= 2.0 * first);
            let (stretch, after) = rest_of.split_at(count);
            rest_of = after;
            let last = stretch.last().copied().unwrap_or(first);
            let solved = field.all_modes.partition_point(|mode| mode.wavenumber_per_m <= cut(last));
            let modes = &field.all_modes[..solved];
            let done = self.stretch(modes, stretch, sources, receivers);
            for (strength, pressure) in done {
                field.strength.push(strength);
                field.pressure.push(pressure);
                field.modes.push(solved);
            }
        }
        field
    }

    /// A stretch of frequencies with the same modes.
    fn stretch(
        &self,
        modes: &[Mode],
        hz: &[f64],
        sources: &[DVec3],
        receivers: &[DVec3],
    ) -> Vec<Solution> {
        let tables = self.coupling.tables(self.room, modes);
        let shapes = |points: &[DVec3]| -> Vec<Vec<f64>> {
            points
                .par_iter()
                .map(|&at| modes.iter().map(|mode| mode.at(self.room, at)).collect())
                .collect()
        };
        let (at_sources, at_receivers) = (shapes(sources), shapes(receivers));
        let solved = Solved::new(modes);
        let wide = |hz: f64| (TAU * hz / self.speed_of_sound_m_s).powi(2);
        let ends = [hz.first(), hz.last()].map(|hz| wide(hz.copied().unwrap_or(1.0)));
        // A stretch of one frequency is widened a little, for a polynomial needs a range.
        let ends = [0.999 * ends[0], 1.001 * ends[1]];
        let pairs: Vec<(usize, usize)> =
            (0..sources.len()).flat_map(|s| (0..receivers.len()).map(move |r| (s, r))).collect();
        let rests: Vec<Rest> = pairs
            .par_iter()
            .map(|&(s, r)| Rest::new(self.room, &solved, [sources[s], receivers[r]], ends))
            .collect();
        let one = |&hz: &f64| {
            let k = self.wavenumber(hz);
            let strength = self.strengths(modes, &tables, hz, k, &at_sources);
            let pressure = strength.iter().enumerate().map(|(s, strength)| {
                let at = |(r, shape): (usize, &Vec<f64>)| {
                    let modal: Complex64 = shape.iter().zip(strength).map(|(x, q)| q * x).sum();
                    modal + rests[s * receivers.len() + r].at(k.re * k.re)
                };
                at_receivers.iter().enumerate().map(at).collect()
            });
            let pressure = pressure.collect();
            (strength, pressure)
        };
        hz.par_iter().map(one).collect()
    }

    /// `(diag(k_N² − k²) + jk·D)·q = 4π·ψ(source)`, for all sources.
    fn strengths(
        &self,
        modes: &[Mode],
        tables: &super::coupling::Tables,
        hz: f64,
        k: Complex64,
        at_sources: &[Vec<f64>],
    ) -> Vec<Vec<Complex64>> {
        let coupling = self.coupling.at(tables, hz);
        let count = modes.len();
        let mut matrix = faer::Mat::<Complex64>::zeros(count, count);
        let jk = Complex64::I * k;
        for n in 0..count {
            for m in n..count {
                let value = jk * coupling.between(&modes[n], &modes[m]);
                matrix[(n, m)] = value;
                matrix[(m, n)] = value;
            }
            matrix[(n, n)] += modes[n].wavenumber_per_m.powi(2) - k * k;
        }
        let sources = faer::Mat::from_fn(count, at_sources.len(), |n, s| {
            Complex64::from(4.0 * PI * at_sources[s][n])
        });
        let solution = matrix.partial_piv_lu().solve(&sources);
        (0..at_sources.len()).map(|s| (0..count).map(|n| solution[(n, s)]).collect()).collect()
    }

    /// Decay time of a mode to −60 dB, seconds, from its own damping at its own frequency: to first
    /// order `k ≈ k_N + jD_NN/2`, so its energy falls as `e^(−c·Re D_NN·t)`. `None` for the even pressure
    /// and without damping.
    pub(super) fn decay_s(&self, mode: &Mode) -> Option<f64> {
        let hz = mode.hz(self.speed_of_sound_m_s);
        if hz <= 0.0 {
            return None;
        }
        let tables = self.coupling.tables(self.room, std::slice::from_ref(mode));
        let damping = self.coupling.at(&tables, hz).between(mode, mode).re;
        let damping = damping - 2.0 * self.wavenumber(hz).im;
        (damping > 0.0).then(|| 6.0 * LN_10 / (self.speed_of_sound_m_s * damping))
    }
}
