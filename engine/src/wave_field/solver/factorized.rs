//! Frequencies solved once for all sources, for many layouts one after the other.

use crate::wave_field::solver::axial_greens::AxialGreens;
use crate::wave_field::solver::modal_remainder::ModalRemainder;
use crate::wave_field::solver::sub_band::{BasisAtPoint, SubBand};
use crate::wave_field::solver::{FrequencySystem, project, rigid_amplitudes};
use faer::Mat;
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::PI;

/// A stretch with all its frequencies solved.
#[derive(Debug)]
pub(in crate::wave_field) struct FactorizedBand<'a> {
    pub(super) stretch: &'a SubBand,
    pub(super) tones: Vec<FactorizedSystem>,
}

/// A frequency solved for all sources.
#[derive(Debug)]
pub(super) struct FactorizedSystem {
    k: Complex64,
    lines: Vec<AxialGreens>,
    /// What the surfaces take in for what they would hear in the rigid room; symmetric.
    whole: Mat<Complex64>,
}

impl FactorizedSystem {
    pub(super) fn new(tone: &FrequencySystem<'_>) -> Self {
        Self { k: tone.k, lines: tone.lines.clone(), whole: tone.whole() }
    }

    /// For each source, the pressure at each receiver.
    fn pressure(
        &self,
        stretch: &SubBand,
        [sources, receivers]: [&[BasisAtPoint]; 2],
        rests: &[ModalRemainder],
    ) -> Vec<Vec<Complex64>> {
        let seen = |spots: &[BasisAtPoint]| -> Vec<Vec<Complex64>> {
            spots.iter().map(|spot| project(stretch, &self.lines, spot)).collect()
        };
        // As it is symmetric, it may be turned on whichever are fewer: receivers, as a rule.
        let heard: Vec<Vec<Complex64>> =
            seen(receivers).iter().map(|ears| self.times(ears)).collect();
        let one = |(s, (source, seen)): (usize, (&BasisAtPoint, Vec<Complex64>))| {
            let modal_amplitudes = rigid_amplitudes(stretch, self.k, source);
            let at = |(r, (receiver, heard)): (usize, (&BasisAtPoint, &Vec<Complex64>))| {
                let rest = rests[s * receivers.len() + r].at(self.k * self.k);
                let rigid: Complex64 = dot_real(&modal_amplitudes, &receiver.modes);
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

impl FactorizedBand<'_> {
    /// For each frequency, for each source, the pressure at each receiver.
    pub(in crate::wave_field) fn pressure(
        &self,
        sources: &[DVec3],
        receivers: &[DVec3],
    ) -> Vec<Vec<Vec<Complex64>>> {
        let rests: Vec<ModalRemainder> = SubBand::pairs(sources, receivers)
            .into_iter()
            .map(|(s, r)| self.stretch.rest(s, r))
            .collect();
        let spots = |points: &[DVec3]| -> Vec<BasisAtPoint> {
            points.iter().map(|&point| self.stretch.spot(point)).collect()
        };
        let (from, to) = (spots(sources), spots(receivers));
        let one = |tone: &FactorizedSystem| tone.pressure(self.stretch, [&from, &to], &rests);
        self.tones.iter().map(one).collect()
    }
}
