//! Plan of a treatment search.

use crate::metrics::criteria::EarlyLimit;
use crate::scene::{ListenerId, SpeakerId};
use crate::simulate::Request;

/// Seats, limit and means of a treatment.
#[derive(Debug, Clone, PartialEq)]
pub struct TreatmentPlan {
    /// The speakers.
    pub speakers: Vec<SpeakerId>,
    /// The listeners; all count alike.
    pub listeners: Vec<ListenerId>,
    /// The limit that early reflections are held against.
    pub limit: &'static EarlyLimit,
    /// The most that may be spent, in the scene's currency; `None`: as much as it takes.
    pub budget: Option<f64>,
    /// The most pieces.
    pub pieces: usize,
    /// Whether pieces may go up one by one in a layout that is its own mirror image; otherwise
    /// what goes up at the left goes up at the right as well.
    pub allow_asymmetric: bool,
    /// Half range of the head's movement for the zones, metres.
    pub head_half_m: f64,
    /// Frequency of the zones, hertz.
    pub frequency_hz: f64,
}

impl TreatmentPlan {
    /// Request behind every figure that is shown: the list of a comparison, of default order and length.
    pub fn request(&self) -> Request {
        Request::list(self.speakers.clone(), self.listeners.clone())
    }

    /// Request of the search, as far as the limit speaks: reflections within its time are the same in
    /// both.
    pub(super) fn search_request(&self, order: usize) -> Request {
        Request { order, window_s: self.limit.window_s(), ..self.request() }
    }
}
