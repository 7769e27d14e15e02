//! Solver with the reaction operator of every frequency at hand, for many sets of sources in turn.

use super::condensed_surfaces::CondensedSurfaces;
use super::frequency_system::{FrequencySystem, Points};
use super::modal_remainder::ModalRemainder;
use super::rigid_greens::RigidGreens;
use super::sub_band::{BasisAtPoint, SubBand};
use crate::wave_field::bodies::PointLayers;
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
    /// [`WaveFieldSolver::pressure`](super::WaveFieldSolver::pressure).
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
    condensed: CondensedSurfaces<'a>,
    /// Reaction of the surfaces kept; symmetric.
    reaction_operator: Mat<Complex64>,
}

impl FactorizedBand<'_> {
    /// Pressure at every frequency, for each source at each receiver.
    fn pressure(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Vec<Vec<Complex64>>> {
        let remainders = self.sub_band.remainders(sources, receivers);
        let layers = [sources, receivers]
            .map(|points| self.sub_band.layers_at_points(points, None).map(|(_, layers)| layers));
        let [sources, receivers] =
            [sources, receivers].map(|points| self.sub_band.basis_at_points(points));
        let layers = layers[0].as_ref().zip(layers[1].as_ref());
        let layers = layers.map(|(sources, receivers)| [sources, receivers]);
        let points = Points { sources: &sources, receivers: &receivers, layers };
        let pressure = |system: &FactorizedSystem<'_>| system.pressure(&points, &remainders);
        self.systems.iter().map(pressure).collect()
    }
}

impl<'a> FactorizedSystem<'a> {
    pub(super) fn new(system: FrequencySystem<'a>) -> Self {
        let reaction_operator = system.reaction_operator();
        Self { rigid: system.rigid, condensed: system.condensed, reaction_operator }
    }

    /// Pressure of each source at each receiver.
    fn pressure(&self, points: &Points<'_>, remainders: &[ModalRemainder]) -> Vec<Vec<Complex64>> {
        let Points { sources, receivers, layers } = *points;
        let receiver_projections = self.project(receivers, layers.map(|[_, receivers]| receivers));
        // Reciprocity: the symmetric operator is applied to the receivers, which are fewer as a rule.
        let reactions = self.reactions(&receiver_projections);
        let of_source = |(s, (source, projection)): (usize, (&BasisAtPoint, Projection))| {
            let amplitudes = self.rigid.modal_amplitudes(source);
            let at = |(r, receiver): (usize, &BasisAtPoint)| {
                let remainder = remainders[s * receivers.len() + r].at(&self.rigid.interpolation);
                let explicit: Complex64 =
                    amplitudes.iter().zip(&receiver.modes).map(|(q, shape)| q * shape).sum();
                let scattered = dot(&projection.condensed, &reactions[r])
                    + self.condensed.product(&projection.all, &receiver_projections[r].all);
                explicit + remainder - 4.0 * PI * scattered
            };
            receivers.iter().enumerate().map(at).collect()
        };
        let source_projections = self.project(sources, layers.map(|[sources, _]| sources));
        sources.iter().zip(source_projections).enumerate().map(of_source).collect()
    }

    fn project(&self, points: &[BasisAtPoint], layers: Option<&PointLayers>) -> Vec<Projection> {
        let projections = self.rigid.projections(points, layers).into_iter();
        let project =
            |all: Vec<Complex64>| Projection { condensed: self.condensed.condense(&all), all };
        projections.map(project).collect()
    }

    /// Reaction operator applied to projections, in one pass over it.
    fn reactions(&self, projections: &[Projection]) -> Vec<Vec<Complex64>> {
        let mut reactions =
            vec![Vec::with_capacity(self.condensed.kept_count()); projections.len()];
        for column in self.reaction_operator.col_iter() {
            for (reaction, projection) in reactions.iter_mut().zip(projections) {
                let terms = column.iter().zip(&projection.condensed);
                reaction.push(terms.map(|(a, b)| a * b).sum());
            }
        }
        reactions
    }
}

/// Projection of the rigid room's Green's function from a point on the basis functions.
struct Projection {
    /// On all of them.
    all: Vec<Complex64>,
    /// On those kept, with the others condensed.
    condensed: Vec<Complex64>,
}

/// Bilinear product, without conjugation.
fn dot(a: &[Complex64], b: &[Complex64]) -> Complex64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
