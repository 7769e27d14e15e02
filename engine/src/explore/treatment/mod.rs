//! Optimisation of absorber placement: which products to mount where, and in which order.
//!
//! Candidates come from the Fresnel zones on every surface ([`crate::analysis::zones`]); each is evaluated by
//! tracing the room with the piece in it. A greedy search adds one candidate at a time, the one that gains
//! most for its money first (or most for its area, where costs are not known), and after each
//! addition every earlier candidate may be swapped for a better one. The result is a scene of
//! its own, and all figures reported of it are traced in that scene with the plan of
//! [`crate::analysis::compare`], so that a comparison of its variants gives the same.

mod candidates;
mod effective_range;
mod error;
mod free_area;
mod limits;
mod local_search;
mod mirror;
mod objective;
mod outcome;
mod placed_absorber;
mod plan;
mod product;
mod result;
mod search;

pub use candidates::Candidate;
pub use effective_range::{
    EFFECTIVE_FROM, EffectiveRange, INEFFECTIVE_BELOW, Suggestion, effective_range,
};
pub use error::TreatmentError;
pub use mirror::is_mirrored;
pub use objective::{SOFTNESS, Score, soft_excess_db};
pub use outcome::{MostReduced, Outcome, SeatOutcome};
pub use placed_absorber::{PlacedAbsorber, reach_m};
pub use plan::TreatmentPlan;
pub use product::{FRAME_KG_M2, Product, Products, WOOL_KG_M3, Weight, products};
pub use result::{AFTER, BEFORE, DIMINISHED_SHARE, Step, Treatment};
pub use search::{LEAST_GAIN_DB, TreatmentSearch};
