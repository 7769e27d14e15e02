//! One straight edge of a rim, as it lies between a source and a receiver.

use super::Edge;
use glam::DVec3;
use std::f64::consts::PI;

/// An edge seen from a source and a receiver.
///
/// Points of the edge are l = foot + width·sinh τ along it, where the foot is nearest to the ray:
/// in τ the integrand has no peak, however close the ray comes.
#[derive(Debug, Clone, Copy)]
pub(super) struct EdgeGeometry {
    length_m: f64,
    pub(super) direct_m: f64,
    /// Which side of the edge the ray passes: ±1, or 0 when it goes through it.
    pub(super) side: f64,
    pub(super) source: EdgeCoordinates,
    pub(super) receiver: EdgeCoordinates,
    pub(super) foot_m: f64,
    pub(super) width_m: f64,
    /// τ at the two ends.
    pub(super) reach: [f64; 2],
    /// Smallest detour over the edge, metres.
    pub(super) min_detour_m: f64,
    /// How much the length of the path over the edge changes from end to end, all ups and downs
    /// counted, metres.
    pub(super) variation_m: f64,
}

/// Where a point lies beside the line of an edge.
#[derive(Debug, Clone, Copy)]
pub(super) struct EdgeCoordinates {
    /// Foot of the point, metres along the edge from its beginning.
    pub(super) at_m: f64,
    /// Square of the distance from the line, square metres.
    pub(super) off2: f64,
}

/// A ray nearer to an edge than this goes through it, metres.
const THROUGH_M: f64 = 1e-12;

impl EdgeGeometry {
    pub(super) fn new(edge: Edge, source: DVec3, receiver: DVec3) -> Self {
        let ray = receiver - source;
        let direct_m = ray.length();
        let ray = ray / direct_m;
        let length_m = (edge.to - edge.from).length();
        let along = (edge.to - edge.from) / length_m;
        let offset = edge.from - source;
        let passes_m = offset.cross(ray).dot(along);
        let slant = along.dot(ray);
        let across = 1.0 - slant * slant;
        let foot_m = -(offset.dot(along) - offset.dot(ray) * slant) / across;
        let width_m = passes_m.abs().max(THROUGH_M) / across;
        let side = if passes_m.abs() < THROUGH_M { 0.0 } else { passes_m.signum() };
        let reach = [0.0, length_m].map(|l| asinh((l - foot_m) / width_m));
        let beside = |point: DVec3| {
            let from = point - edge.from;
            let at_m = from.dot(along);
            EdgeCoordinates { at_m, off2: (from - along * at_m).length_squared() }
        };
        let (source, receiver) = (beside(source), beside(receiver));
        let (min_detour_m, variation_m) = (0.0, 0.0);
        Self {
            length_m,
            direct_m,
            side,
            source,
            receiver,
            foot_m,
            width_m,
            reach,
            min_detour_m,
            variation_m,
        }
        .measured()
    }

    /// Whether it contributes at all: not where the ray goes through it or runs along it.
    pub(super) fn counts(&self) -> bool {
        self.side != 0.0 && self.width_m.is_finite() && self.foot_m.is_finite()
    }

    /// Its share of the winding of the rim around the ray, in turns.
    pub(super) fn turns(&self) -> f64 {
        let (from_m, to_m) = (-self.foot_m, self.length_m - self.foot_m);
        let angle = (self.width_m * self.length_m).atan2(self.width_m.powi(2) + from_m * to_m);
        -self.side * angle / (2.0 * PI)
    }

    /// Fills in the detours.
    fn measured(mut self) -> Self {
        self.min_detour_m = self.detour_m(self.shortest_at_m());
        let ends_m = self.detour_m(0.0) + self.detour_m(self.length_m);
        self.variation_m = ends_m - 2.0 * self.min_detour_m;
        self
    }

    /// Where along the edge the path over it is shortest, metres from its beginning.
    fn shortest_at_m(&self) -> f64 {
        let (off_s, off_p) = (self.source.off2.sqrt(), self.receiver.off2.sqrt());
        let sum = off_s + off_p;
        let best = if sum > 0.0 {
            (self.source.at_m * off_p + self.receiver.at_m * off_s) / sum
        } else {
            0.0
        };
        best.clamp(0.0, self.length_m)
    }

    fn detour_m(&self, at_m: f64) -> f64 {
        let distance = |from: EdgeCoordinates| ((at_m - from.at_m).powi(2) + from.off2).sqrt();
        distance(self.source) + distance(self.receiver) - self.direct_m
    }
}

/// ln(x + √(x² + 1)), to 1e-15 in absolute terms.
fn asinh(x: f64) -> f64 {
    let magnitude = x.abs();
    (magnitude + (magnitude * magnitude + 1.0).sqrt()).ln().copysign(x)
}
