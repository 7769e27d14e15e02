//! Plan of a comparison of heights.

use crate::scene::{ListenerId, SpeakerId};

/// Pair, listeners and weights of a comparison of heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightPlan<'a> {
    /// The variant of the scene; `None` is everything.
    pub variant: Option<&'a str>,
    /// The two speakers of a pair.
    pub pair: [SpeakerId; 2],
    /// The listeners; the first says where the seat is.
    pub listeners: &'a [ListenerId],
    /// Share of the time spent seated, 0 to 1.
    pub seated_share: f64,
}
