//! Solver with the reaction operator of every frequency at hand, for many sets of sources in turn.

use super::frequency_system::FrequencySystem;
use super::modal_remainder::ModalRemainder;
use super::rigid_greens::RigidGreens;
use super::sub_band::{BasisAtPoint, SubBand};
use faer::Mat;
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::PI;

/// Wave field of a room with the system of every frequency inverted: see
/// [`WaveFieldSolver::factorize`](super::WaveFieldSolver::factorize).
#[derive(Debug)]
pub struct FactorizedSolver<'a>(pub(super) Vec<FactorizedBand<'a>>);

impl FactorizedSolver<'_> {
    /// Pressure of point sources at receivers, as
    /// [`WaveFieldSolver::pressure`](super::WaveFieldSolver::pressure), on the calling thread.
    pub fn pressure(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Vec<Vec<Complex64>>> {
        self.0.iter().flat_map(|band| band.pressure(sources, receivers)).collect()
    }
}

/// Sub-band with its systems inverted.
#[derive(Debug)]
pub(super) struct FactorizedBand<'a> {
    pub(super) sub_band: &'a SubBand,
    pub(super) systems: Vec<FactorizedSystem<'a>>,
}

/// Inverted system of one frequency.
#[derive(Debug)]
pub(super) struct FactorizedSystem<'a> {
    rigid: RigidGreens<'a>,
    /// Symmetric.
    reaction_operator: Mat<Complex64>,
}

impl FactorizedBand<'_> {
    /// Pressure at every frequency, for each source at each receiver.
    fn pressure(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Vec<Vec<Complex64>>> {
        let remainders = self.sub_band.remainders(sources, receivers);
        let [sources, receivers] = [sources, receivers].map(|points| -> Vec<BasisAtPoint> {
            points.iter().map(|&point| self.sub_band.basis_at(point)).collect()
        });
        let pressure =
            |system: &FactorizedSystem<'_>| system.pressure([&sources, &receivers], &remainders);
        self.systems.iter().map(pressure).collect()
    }
}

impl<'a> FactorizedSystem<'a> {
    pub(super) fn new(system: &FrequencySystem<'a>) -> Self {
        Self { rigid: system.rigid.clone(), reaction_operator: system.reaction_operator() }
    }

    /// Pressure of each source at each receiver.
    fn pressure(
        &self,
        [sources, receivers]: [&[BasisAtPoint]; 2],
        remainders: &[ModalRemainder],
    ) -> Vec<Vec<Complex64>> {
        let project = |points: &[BasisAtPoint]| -> Vec<Vec<Complex64>> {
            points.iter().map(|point| self.rigid.projection(point)).collect()
        };
        // Reciprocity: the symmetric operator is applied to the receivers, which are fewer as a rule.
        let reactions: Vec<Vec<Complex64>> =
            project(receivers).iter().map(|projection| self.reaction(projection)).collect();
        let k2 = self.rigid.k * self.rigid.k;
        let of_source = |(s, (source, projection)): (usize, (&BasisAtPoint, Vec<Complex64>))| {
            let amplitudes = self.rigid.modal_amplitudes(source);
            let at = |(r, (receiver, reaction)): (usize, (&BasisAtPoint, &Vec<Complex64>))| {
                let remainder = remainders[s * receivers.len() + r].at(k2);
                let explicit: Complex64 =
                    amplitudes.iter().zip(&receiver.modes).map(|(q, shape)| q * shape).sum();
                explicit + remainder - 4.0 * PI * dot(&projection, reaction)
            };
            receivers.iter().zip(&reactions).enumerate().map(at).collect()
        };
        sources.iter().zip(project(sources)).enumerate().map(of_source).collect()
    }

    /// Reaction operator applied to a projection.
    fn reaction(&self, projection: &[Complex64]) -> Vec<Complex64> {
        let columns = self.reaction_operator.col_iter();
        columns.map(|column| column.iter().zip(projection).map(|(a, b)| a * b).sum()).collect()
    }
}

/// Bilinear product, without conjugation.
fn dot(a: &[Complex64], b: &[Complex64]) -> Complex64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
