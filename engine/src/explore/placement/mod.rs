//! Where to sit and where to put the speakers: a search over layouts, each of them traced.
//!
//! A [`Layout`] is six numbers: seat, base, speakers' distance from the front wall, height, where the
//! axes cross, and the line the pair is symmetric about. [`optimize_placement`] samples the space evenly, goes on
//! from the best with a simplex, and keeps those that are really different, to whole millimetres. Every layout is a draft of
//! the scene read again, so none of them breaks a rule of a scene file; what it is worth is an
//! [`Objective`] of terms in decibels, each shown.

mod bass;
mod bounds;
mod collision;
mod evaluate;
mod layout;
mod objective;
mod objective_map;
mod search;
mod sensitivity;

pub use bass::{BASS_HZ, DIP_HZ, Dip};
pub use bounds::{Bounds, LengthRange, PlacementError};
pub use layout::{Layout, PARAMETERS, Parameter};
pub use objective::{DELAY_S, FADE, Objective, SEAT_STEP_M, SeatTerms, TRIANGLE_STEP_M, Weights};
pub use objective_map::{ObjectiveMap, objective_map, objective_map_cells};
pub use search::{Evaluated, MAX_RESULTS, SearchResult, optimize_placement};
pub use sensitivity::PERTURBATION_M;

use crate::metrics::criteria::EarlyLimit;

/// What to move, and how to judge it.
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
    /// How far each parameter may go.
    pub bounds: Bounds,
    /// Whether the triangle stays equilateral, its apex where the axes cross.
    pub equilateral: bool,
    /// What counts, and how much.
    pub weights: Weights,
    /// The limit on early reflections.
    pub limit: &'a EarlyLimit,
    /// About how many layouts are traced.
    pub layouts: usize,
    /// What the sampling begins from: the same seed gives the same layouts.
    pub seed: u32,
}
