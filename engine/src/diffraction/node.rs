//! One straight edge of a rim as a row of impulses.

use super::phasor::Impulses;
use crate::quadrature::gauss_rule;
use glam::DVec3;
use std::f64::consts::PI;

/// A straight edge of a rim, from one end to the other. A rim runs counter-clockwise seen from the
/// receiver, with the opening on its left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Where it begins, metres.
    pub from: DVec3,
    /// Where it ends, metres.
    pub to: DVec3,
}

impl Edge {
    /// The same edge the other way round.
    #[must_use]
    pub fn reversed(self) -> Self {
        Self { from: self.to, to: self.from }
    }

    /// Whether two edges have the same ends, to rounding.
    pub fn is_same(&self, other: &Self) -> bool {
        self.from.distance(other.from) < SAME_CORNER_M && self.to.distance(other.to) < SAME_CORNER_M
    }
}

/// Corners of one body that should coincide do so to rounding, metres.
const SAME_CORNER_M: f64 = 1e-9;

/// An edge seen from a source and a receiver.
///
/// Points of the edge are l = foot + width·sinh τ along it, where the foot is nearest to the ray:
/// in τ the integrand has no peak, however close the ray comes.
#[derive(Debug, Clone, Copy)]
pub(super) struct SeenEdge {
    edge: Edge,
    source: DVec3,
    receiver: DVec3,
    direct_m: f64,
    /// Which side of the edge the ray passes: ±1, or 0 when it goes through it.
    side: f64,
    along: DVec3,
    foot_m: f64,
    width_m: f64,
    /// τ at the two ends.
    reach: [f64; 2],
}

/// A ray nearer to an edge than this goes through it, metres.
const THROUGH_M: f64 = 1e-12;

impl SeenEdge {
    pub(super) fn new(edge: Edge, source: DVec3, receiver: DVec3) -> Self {
        let ray = receiver - source;
        let direct_m = ray.length();
        let ray = ray / direct_m;
        let length_m = (edge.to - edge.from).length();
        let along = (edge.to - edge.from) / length_m;
        let offset = edge.from - source;
        let passes_m = offset.cross(ray).dot(along);
        let across = 1.0 - along.dot(ray).powi(2);
        let foot_m = -(offset.dot(along) - offset.dot(ray) * along.dot(ray)) / across;
        let width_m = passes_m.abs().max(THROUGH_M) / across;
        let side = if passes_m.abs() < THROUGH_M { 0.0 } else { passes_m.signum() };
        let reach = [0.0, length_m].map(|l| ((l - foot_m) / width_m).asinh());
        Self { edge, source, receiver, direct_m, side, along, foot_m, width_m, reach }
    }

    /// Whether it contributes at all: not where the ray goes through it or runs along it.
    pub(super) fn counts(&self) -> bool {
        self.side != 0.0 && self.width_m.is_finite() && self.foot_m.is_finite()
    }

    /// Its share of the winding of the rim around the ray, in turns.
    pub(super) fn turns(&self) -> f64 {
        let angle = |tau: f64| tau.sinh().atan();
        -self.side * (angle(self.reach[1]) - angle(self.reach[0])) / (2.0 * PI)
    }

    /// Smallest detour over the edge, metres.
    pub(super) fn least_detour_m(&self) -> f64 {
        self.detour_m(self.shortest_at_m())
    }

    /// How much the length of the path over the edge changes from end to end, all ups and downs
    /// counted, metres.
    fn variation_m(&self) -> f64 {
        let length_m = (self.edge.to - self.edge.from).length();
        let least = self.least_detour_m();
        self.detour_m(0.0) + self.detour_m(length_m) - 2.0 * least
    }

    /// Where along the edge the path over it is shortest, metres from its beginning.
    fn shortest_at_m(&self) -> f64 {
        let place = |point: DVec3| {
            let at = (point - self.edge.from).dot(self.along);
            (at, (point - self.edge.from - self.along * at).length())
        };
        let ((at_s, off_s), (at_p, off_p)) = (place(self.source), place(self.receiver));
        let sum = off_s + off_p;
        let best = if sum > 0.0 { (at_s * off_p + at_p * off_s) / sum } else { 0.0 };
        best.clamp(0.0, (self.edge.to - self.edge.from).length())
    }

    fn detour_m(&self, at_m: f64) -> f64 {
        let point = self.edge.from + self.along * at_m;
        point.distance(self.source) + point.distance(self.receiver) - self.direct_m
    }

    /// Adds its impulses, fine enough up to a wavenumber.
    ///
    /// Gauss–Legendre in τ leaves 1e-7 of the field or less with half a point for every radian that
    /// the phase runs, on top of what 1/cosh τ asks for: its poles at ±jπ/2 want three points for
    /// every unit of τ, and fifteen see to the rest where the range is short.
    pub(super) fn add_impulses(&self, wavenumber: f64, impulses: &mut Impulses) {
        let span = self.reach[1] - self.reach[0];
        let points = 0.5 * wavenumber * self.variation_m() + (3.0 * span).max(15.0);
        let direct2 = self.direct_m * self.direct_m;
        for &(at, weight) in gauss_rule(points) {
            let tau = self.reach[0] + span * at;
            let up = tau.exp();
            let down = 1.0 / up;
            let (sinh, cosh) = (0.5 * (up - down), 0.5 * (up + down));
            let point = self.edge.from + self.along * (self.foot_m + self.width_m * sinh);
            let (to_source2, to_receiver2) =
                (point.distance_squared(self.source), point.distance_squared(self.receiver));
            let product = (to_source2 * to_receiver2).sqrt();
            let cos_bend = (direct2 - to_source2 - to_receiver2) / (2.0 * product);
            let amplitude = self.side / (4.0 * PI) * (1.0 + cos_bend) * span * weight / cosh;
            let detour_m = to_source2.sqrt() + to_receiver2.sqrt() - self.direct_m;
            if amplitude.is_finite() {
                impulses.amplitude.push(amplitude);
                impulses.detour_m.push(detour_m);
            }
        }
    }
}
