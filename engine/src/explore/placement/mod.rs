//! Optimisation of speaker and listener positions: a search over layouts, each of them traced.
//!
//! A [`Layout`] is six numbers: seat, base, speakers' distance from the front wall, height, where the
//! axes cross, and the line the pair is symmetric about. [`optimize_placement`] samples the space evenly, goes on
//! from the best with a simplex, and keeps those that are really different, to whole millimetres. Every layout is an edit of
//! the scene validated again, so none of them breaks a rule of a scene file; its objective is a weighted
//! sum of terms in decibels ([`Objective`]).

mod bass;
mod bounds;
mod collision;
mod evaluate;
mod layout;
mod layout_in_scene;
mod objective;
mod objective_map;
mod plan;
mod search;
mod sensitivity;

pub use bass::{BASS_HZ, DIP_HZ, Dip};
pub use bounds::{Bounds, LengthRange, PlacementError};
pub use evaluate::EvaluatedLayout;
pub use layout::{Layout, PARAMETERS, Parameter};
pub use objective::{DELAY_S, FADE, Objective, SEAT_STEP_M, SeatTerms, TRIANGLE_STEP_M};
pub use objective_map::{ObjectiveMap, objective_map, objective_map_cells};
pub use plan::{PlacementPlan, Weights};
pub use search::{MAX_RESULTS, SearchResult, optimize_placement};
pub use sensitivity::PERTURBATION_M;
