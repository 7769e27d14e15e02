//! What to buy first, and where to put it: a search over places for absorbers.
//!
//! Places come from the zones that matter on every surface ([`crate::analysis::zones`]); each is tried by
//! tracing the room with the piece in it. Pieces are added one move at a time, the move that gains
//! most for its money first (or most for its area, where costs are not known), and after each
//! addition every earlier move may be exchanged for a better one. What is chosen becomes a scene of
//! its own, and all figures that are told of it are traced in that scene with the plan of
//! [`crate::analysis::compare`], so that a comparison of its states gives the same.

mod build;
mod exchange;
mod impossible;
mod limits;
mod mirror;
mod moves;
mod objective;
mod offer;
mod outcome;
mod piece;
mod result;
mod room_left;
mod search;

pub use build::{BARELY_BELOW, HALF_FROM, Remedy, Works, works};
pub use impossible::Impossible;
pub use mirror::is_mirrored;
pub use moves::Move;
pub use objective::{SOFTNESS, Score, soft_excess_db};
pub use offer::{FRAME_KG_M2, Offer, Offers, WOOL_KG_M3, Weight, offers};
pub use outcome::{Outcome, SeatOutcome, TakenDown};
pub use piece::{Piece, reach_m};
pub use result::{AFTER, BEFORE, DIMINISHED_SHARE, Step, Treatment};
pub use search::{LEAST_GAIN_DB, Search};

use crate::metrics::criteria::EarlyLimit;
use crate::simulate::Request;

/// What to treat for, and with how much.
#[derive(Debug, Clone, PartialEq)]
pub struct TreatPlan {
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
    pub singly: bool,
    /// For the zones: the head moves so far either way, metres.
    pub head_half_m: f64,
    /// For the zones: their frequency, hertz.
    pub frequency_hz: f64,
}

impl TreatPlan {
    /// Request behind every figure that is shown: the list of a comparison, of default order and length.
    pub fn request(&self) -> Request {
        Request::list(self.speakers.clone(), self.listeners.clone())
    }

    /// The same as far as the limit speaks, for the search: reflections within the limit's time are
    /// the same in both.
    fn search_request(&self, order: usize) -> Request {
        Request { order, window_s: self.limit.window_s(), ..self.request() }
    }
}
