//! Frequencies solved once for all sources, for many layouts one after the other.

use super::line::Line;
use super::residual::Rest;
use super::solve::{Tone, project, rigid_strengths};
use super::stretch::{Spot, Stretch};
use faer::Mat;
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::PI;

/// A stretch with all its frequencies solved.
#[derive(Debug)]
pub(super) struct KeptStretch<'a> {
    pub(super) stretch: &'a Stretch,
    pub(super) tones: Vec<KeptTone>,
}

/// A frequency solved for all sources.
#[derive(Debug)]
pub(super) struct KeptTone {
    k: Complex64,
    lines: Vec<Line>,
    /// What the surfaces take in for what they would hear in the rigid room; symmetric.
    whole: Mat<Complex64>,
}

impl KeptTone {
    pub(super) fn new(tone: &Tone<'_>) -> Self {
        Self { k: tone.k, lines: tone.lines.clone(), whole: tone.whole() }
    }

    /// For each source, the pressure at each receiver.
    fn pressure(
        &self,
        stretch: &Stretch,
        [sources, receivers]: [&[Spot]; 2],
        rests: &[Rest],
    ) -> Vec<Vec<Complex64>> {
        let seen = |spots: &[Spot]| -> Vec<Vec<Complex64>> {
            spots.iter().map(|spot| project(stretch, &self.lines, spot)).collect()
        };
        // As it is symmetric, it may be turned on whichever are fewer: receivers, as a rule.
        let heard: Vec<Vec<Complex64>> =
            seen(receivers).iter().map(|ears| self.times(ears)).collect();
        let one = |(s, (source, seen)): (usize, (&Spot, Vec<Complex64>))| {
            let strength = rigid_strengths(stretch, self.k, source);
            let at = |(r, (receiver, heard)): (usize, (&Spot, &Vec<Complex64>))| {
                let rest = rests[s * receivers.len() + r].at(self.k * self.k);
                let rigid: Complex64 = dot_real(&strength, &receiver.modes);
                rigid + rest - 4.0 * PI * dot(&seen, heard)
            };
            receivers.iter().zip(&heard).enumerate().map(at).collect()
        };
        sources.iter().zip(seen(sources)).enumerate().map(one).collect()
    }

    fn times(&self, seen: &[Complex64]) -> Vec<Complex64> {
        self.whole
            .col_iter()
            .map(|column| column.iter().zip(seen).map(|(a, b)| a * b).sum())
            .collect()
    }
}

fn dot(a: &[Complex64], b: &[Complex64]) -> Complex64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn dot_real(a: &[Complex64], b: &[f64]) -> Complex64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

impl KeptStretch<'_> {
    /// For each frequency, for each source, the pressure at each receiver.
    pub(super) fn pressure(
        &self,
        sources: &[DVec3],
        receivers: &[DVec3],
    ) -> Vec<Vec<Vec<Complex64>>> {
        let rests: Vec<Rest> = Stretch::pairs(sources, receivers)
            .into_iter()
            .map(|(s, r)| self.stretch.rest(s, r))
            .collect();
        let spots = |points: &[DVec3]| -> Vec<Spot> {
            points.iter().map(|&point| self.stretch.spot(point)).collect()
        };
        let (from, to) = (spots(sources), spots(receivers));
        let one = |tone: &KeptTone| tone.pressure(self.stretch, [&from, &to], &rests);
        self.tones.iter().map(one).collect()
    }
}
