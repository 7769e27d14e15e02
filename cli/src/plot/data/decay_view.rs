//! What the pictures show of a decay.

use earline_engine::medium::bands::PerBand;
use earline_engine::metrics::criteria::Judgement;

/// The decay at a listener.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Decay {
    /// One for each speaker.
    pub(crate) speakers: Vec<SpeakerDecay>,
    /// Reverberation time by Eyring's formula, seconds.
    pub(crate) eyring_s: PerBand<Option<f64>>,
    /// What the reverberation time is held against.
    pub(crate) criterion: Criterion,
}

/// The decay of one speaker.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SpeakerDecay {
    /// The speaker, by index in [`crate::plot::data::input::Input::speakers`].
    pub(crate) speaker: usize,
    /// Time between the levels of the curves, milliseconds.
    pub(crate) step_ms: f64,
    /// Decay curves from the direct sound on.
    pub(crate) curves: PerBand<Vec<Level>>,
    /// T20 in each band, where it can be read.
    pub(crate) t20: PerBand<Option<Time>>,
}

/// A level of a decay curve with its standard error, decibels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Level {
    /// Relative to the curve's start; negative infinity where nothing is left.
    pub(crate) db: f64,
    /// Its standard error, nought where that is not known.
    pub(crate) error_db: f64,
}

/// A reverberation time with its standard error, seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Time {
    /// The time.
    pub(crate) s: f64,
    /// Its standard error, where that is known.
    pub(crate) error_s: Option<f64>,
    /// What the recommendation says of it.
    pub(crate) judgement: Option<Judgement>,
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
