//! Decays as the pictures show them.

use earline_engine::medium::bands::PerBand;
use earline_engine::metrics::criteria::Judgement;
use earline_engine::metrics::decay::Estimate;

/// The decay at a listener.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SeatDecay<'a> {
    /// One for each speaker.
    pub(crate) speakers: Vec<SpeakerDecay<'a>>,
    /// Reverberation time by Eyring's formula, seconds.
    pub(crate) eyring_s: PerBand<Option<f64>>,
    /// Recommendation for the reverberation time.
    pub(crate) criterion: Criterion,
}

/// The decay of one speaker.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SpeakerDecay<'a> {
    /// The speaker, by index in [`crate::plot::data::input::Input::speakers`].
    pub(crate) speaker: usize,
    /// Time between the levels of the curves, milliseconds.
    pub(crate) step_ms: f64,
    /// Decay curves from the direct sound on, decibels; negative infinity where nothing is left.
    pub(crate) curves: PerBand<&'a [Estimate]>,
    /// T20 in each band, where it can be read.
    pub(crate) t20: PerBand<Option<Time>>,
}

/// A reverberation time with its standard error, seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Time {
    /// The time.
    pub(crate) s: f64,
    /// Its standard error, where that is known.
    pub(crate) error_s: Option<f64>,
    /// Judgement of the recommendation on it.
    pub(crate) judgement: Option<Judgement>,
}

impl Time {
    /// `0.37 ±0.01`, the error rounded up as in the terminal.
    pub(crate) fn with_error(&self) -> String {
        let rounded = |error: f64| format!("{:.2}", (error * 100.0).ceil() / 100.0);
        let error = self.error_s.map_or("?".to_owned(), rounded);
        format!("{:.2} ±{error}", self.s)
    }
}

/// A published recommendation for this room.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Criterion {
    /// The document it is from.
    pub(crate) document: String,
    /// Nominal time, seconds.
    pub(crate) nominal_s: f64,
    /// Corners of its tolerance in rising frequency: hertz, least and greatest time in seconds.
    pub(crate) corners: Vec<[f64; 3]>,
    /// Whether any of its figures are held from memory only.
    pub(crate) from_memory: bool,
}
