//! A straight edge of a rim.

use glam::DVec3;

/// A straight edge of a rim, from one end to the other. A rim runs counter-clockwise seen from the
/// receiver, with the opening on its left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Beginning, metres.
    pub from: DVec3,
    /// End, metres.
    pub to: DVec3,
}

impl Edge {
    /// The edge with its ends exchanged.
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
