//! Line integral along a rim, as a row of impulses.

use super::edge_geometry::EdgeGeometry;
use super::impulses::{Impulses, exp};
use crate::numerics::quadrature::{GaussRule, gauss_rule};
use crate::numerics::simd_dispatch::{Kernel, dispatch_simd};
use std::f64::consts::PI;

/// Density of the sum along an edge, in points of Gauss–Legendre quadrature in τ.
#[derive(Debug, Clone, Copy)]
pub(super) struct QuadratureDensity {
    /// Points for every radian that the phase runs along the edge.
    per_radian: f64,
    /// Points for every unit of τ: what the poles of 1/cosh τ at ±jπ/2 ask for.
    per_tau: f64,
    /// Points however short the range.
    least: f64,
}

impl QuadratureDensity {
    /// Leaves 1e-9 of the field or less.
    pub(super) const EXACT: Self = Self { per_radian: 0.75, per_tau: 4.0, least: 20.0 };
    /// Leaves 5e-3 of the field or so at the worst and 1e-4 mostly, at a third of the cost.
    pub(super) const LISTED: Self = Self { per_radian: 0.4, per_tau: 1.6, least: 4.0 };

    fn points(self, edge: &EdgeGeometry, wavenumber: f64) -> f64 {
        let span = edge.reach[1] - edge.reach[0];
        let poles = (self.per_tau * span).max(self.least);
        poles + self.per_radian * wavenumber * edge.variation_m
    }
}

impl EdgeGeometry {
    /// Adds the impulses of this edge, fine enough up to a wavenumber.
    pub(super) fn add_impulses(
        &self,
        wavenumber: f64,
        density: QuadratureDensity,
        impulses: &mut Impulses,
    ) {
        let rule = gauss_rule(density.points(self, wavenumber));
        let [amplitude, detour_m] = impulses.more(rule.at.len());
        dispatch_simd(EdgeNodes { edge: *self, rule, amplitude, detour_m });
    }
}

/// Every node of one edge at once.
struct EdgeNodes<'a> {
    edge: EdgeGeometry,
    rule: &'static GaussRule,
    amplitude: &'a mut [f64],
    detour_m: &'a mut [f64],
}

impl Kernel for EdgeNodes<'_> {
    type Output = ();

    /// (±1/4π)(1 + cos β) dτ/cosh τ, with 1 + cos β = (D² − (ρ − s)²)/2ρs, at a detour of ρ + s − D.
    #[inline(always)]
    fn run(self) {
        let EdgeGeometry { direct_m, side, source, receiver, foot_m, width_m, reach, .. } =
            self.edge;
        let span = reach[1] - reach[0];
        let scale = side * span / (8.0 * PI);
        let points = self.rule.at.iter().zip(&self.rule.weight);
        for ((&at, &weight), (amplitude, detour_m)) in
            points.zip(self.amplitude.iter_mut().zip(self.detour_m))
        {
            let up = exp(reach[0] + span * at);
            let down = 1.0 / up;
            let along_m = foot_m + 0.5 * width_m * (up - down);
            let (from_source, from_receiver) = (along_m - source.at_m, along_m - receiver.at_m);
            let rho = (from_source * from_source + source.off2).sqrt();
            let s = (from_receiver * from_receiver + receiver.off2).sqrt();
            let bend = direct_m * direct_m - (rho - s) * (rho - s);
            let below = rho * s * 0.5 * (up + down);
            // An edge that runs through the source or the receiver has no bend to speak of there.
            *amplitude = if below > 0.0 { scale * weight * bend / below } else { 0.0 };
            *detour_m = rho + s - direct_m;
        }
    }
}
