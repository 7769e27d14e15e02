//! Plan and result of a tolerance analysis.

use super::change::{Change, Thresholds};
use crate::analysis::setting_out::MarkTarget;
use crate::scene::{ListenerId, SpeakerId};

/// Variant, speakers, listeners and thresholds of a tolerance analysis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TolerancePlan<'a> {
    /// The variant of the scene; `None` is everything.
    pub variant: Option<&'a str>,
    /// The speakers.
    pub speakers: &'a [SpeakerId],
    /// The listeners.
    pub listeners: &'a [ListenerId],
    /// Thresholds of change.
    pub thresholds: Thresholds,
}

/// Tolerance of one mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    /// The mark.
    pub of: MarkTarget,
    /// Along the room, across it, and up, in this order.
    pub axes: [AxisTolerance; 3],
}

/// Tolerance of a mark along one axis, either way.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisTolerance {
    /// The largest of [`STEPS_M`] at which nothing has changed yet; 0 when the first is too much.
    pub allowed_m: f64,
    /// The first change, at the next step; `None` where no step causes one.
    pub first: Option<Change>,
}

/// Steps of a mark, metres: a pencil line, then as a tape is read.
pub const STEPS_M: [f64; 12] =
    [0.002, 0.005, 0.01, 0.015, 0.02, 0.03, 0.04, 0.05, 0.075, 0.1, 0.15, 0.2];
