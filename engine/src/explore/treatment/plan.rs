//! Plan of a treatment search.

use crate::metrics::criteria::EarlyLimit;
use crate::trace::Request;

/// Seats, limit and means of a treatment.
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
    /// Half range of the head's movement for the zones, metres.
    pub head_half_m: f64,
    /// Frequency of the zones, hertz.
    pub frequency_hz: f64,
}

impl TreatmentPlan {
    /// Trace plan of all reported figures, that of a comparison: third order,
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

    /// Trace plan of the search, as long as the limit's time: reflections within it are
    /// the same in both.
    pub(super) fn search_plan(&self, order: usize) -> Request {
        Request { order, window_s: self.limit.window_s(), curve_s: 0.0, ..self.trace_plan() }
    }
}
