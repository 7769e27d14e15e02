//! Plan of a placement search.

use super::bounds::Bounds;
use crate::metrics::criteria::EarlyLimit;
use crate::scene::{ListenerId, SpeakerId};

/// Moving parts, bounds and weights of a placement search.
#[derive(Debug, Clone)]
pub struct PlacementPlan<'a> {
    /// The variant of the scene; `None` is everything.
    pub variant: Option<&'a str>,
    /// The left and right speaker that move.
    pub pair: [SpeakerId; 2],
    /// The listeners that move together with the seat; the first is the seat.
    pub listeners: Vec<ListenerId>,
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

impl PlacementPlan<'_> {
    /// The seat; without listeners that move the scene's first.
    pub(super) fn seat(&self) -> ListenerId {
        self.listeners.first().copied().unwrap_or(ListenerId::new(0))
    }
}

/// Weight of each term; all at least 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Of [`super::SeatTerms::early_db`].
    pub early: f64,
    /// Of [`super::SeatTerms::asymmetry_db`].
    pub sides: f64,
    /// Of [`super::SeatTerms::bass_db`].
    pub bass: f64,
    /// Of [`super::Objective::prior_db`].
    pub start: f64,
}

impl Default for Weights {
    /// All alike, but for the distance from the starting point, which only breaks ties: a tenth.
    fn default() -> Self {
        Self { early: 1.0, sides: 1.0, bass: 1.0, start: 0.1 }
    }
}
