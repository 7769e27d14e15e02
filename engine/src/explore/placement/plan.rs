//! Plan of a placement search.

use super::bounds::Bounds;
use super::objective::Weights;
use crate::metrics::criteria::EarlyLimit;

/// Moving parts, bounds and weights of a placement search.
#[derive(Debug, Clone)]
pub struct PlacementPlan<'a> {
    /// The variant of the scene; `None` is everything.
    pub variant: Option<&'a str>,
    /// Indices of the left and right speaker that move.
    pub pair: [usize; 2],
    /// Indices of the listeners that move together with the seat; the first is the seat.
    pub listeners: Vec<usize>,
    /// Indices of the furniture that moves with the seat: a desk.
    pub moving_furniture: Vec<usize>,
    /// Range of each parameter.
    pub bounds: Bounds,
    /// Whether the triangle stays equilateral, its apex where the axes cross.
    pub equilateral: bool,
    /// Weights of the terms.
    pub weights: Weights,
    /// The limit on early reflections.
    pub limit: &'a EarlyLimit,
    /// About how many layouts are traced.
    pub layouts: usize,
    /// Seed of the sampling: the same seed gives the same layouts.
    pub seed: u32,
}
