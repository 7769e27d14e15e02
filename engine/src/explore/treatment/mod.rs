//! What to buy first, and where to put it: a search over places for absorbers.
//!
//! Places come from the zones that matter on every surface ([`crate::analysis::zones`]); each is tried by
//! tracing the room with the piece in it. Pieces are added one move at a time, the move that gains
//! most for its money first (or most for its area, where costs are not known), and after each
//! addition every earlier move may be exchanged for a better one. What is chosen becomes a scene of
//! its own, and all figures that are told of it are traced in that scene with the plan of
//! [`crate::analysis::compare`], so that a comparison of its states gives the same.

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
pub use product::{FRAME_KG_M2, Product, Products, WOOL_KG_M3, Weight, products};
pub use result::{AFTER, BEFORE, DIMINISHED_SHARE, Step, Treatment};
pub use search::{LEAST_GAIN_DB, TreatmentSearch};

use crate::metrics::criteria::EarlyLimit;
use crate::trace::Request;

/// What to treat for, and with how much.
#[derive(Debug, Clone, PartialEq)]
pub struct TreatmentPlan {
    /// Indices of the speakers, in [`crate::scene::Scene::speakers`].
    pub speakers: Vec<usize>,
    /// Indices of the listeners, in [`crate::scene::Scene::listeners`]; all count alike.
    pub listeners: Vec<usize>,
    /// The limit that early reflections are held against.
    pub limit: &'static EarlyLimit,
    /// The most that may be spent, in the scene's currency; `None`: as much as it takes.
    pub budget: Option<f64>,
    /// The most pieces.
    pub pieces: usize,
    /// Whether pieces may go up one by one in a layout that is its own mirror image; otherwise
    /// what goes up at the left goes up at the right as well.
    pub allow_asymmetric: bool,
    /// For the zones: the head moves so far either way, metres.
    pub head_half_m: f64,
    /// For the zones: their frequency, hertz.
    pub frequency_hz: f64,
}

impl TreatmentPlan {
    /// The plan that everything told is traced by, which is that of a comparison: third order,
    /// 50 ms, and as long a curve.
    pub fn trace_plan(&self) -> Request {
        Request {
            speakers: self.speakers.clone(),
            listeners: self.listeners.clone(),
            order: 3,
            window_s: 0.05,
            curve_s: 0.06,
        }
    }

    /// The same as far as the limit speaks, for the search: reflections within the limit's time are
    /// the same in both.
    fn search_plan(&self, order: usize) -> Request {
        Request { order, window_s: self.limit.window_s(), curve_s: 0.0, ..self.trace_plan() }
    }
}
