//! Levels over frequency in the document of `bass`.

use super::round::{Decibels, Hertz, decibels, hertz};
use crate::content::wave_field::WaveFieldView;
use earline_engine::wave_field::CoherentSum;
use schemars::JsonSchema;
use serde::Serialize;

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct PairResponse {
    /// Name of the pair, or of the speaker that subwoofers play along with; null for subwoofers alone.
    pair: Option<String>,
    /// Everything that plays.
    speakers: Vec<String>,
    listener: String,
    #[serde(flatten)]
    response: Response,
}

/// Levels against those of a speaker at 1 m in a free field where it plays unfiltered at `level_db = 0`, one for
/// each of `frequencies_hz`.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Response {
    /// The part of the range of the unevenness that is played.
    range_from_to_hz: [Hertz; 2],
    /// Standard deviation of the level; null where the range has too few frequencies.
    unevenness_db: Option<Decibels>,
    /// Level at the middle of the head.
    level_db: Vec<Decibels>,
    /// Least level over the positions of the head.
    least_db: Vec<Decibels>,
    /// Greatest level over the positions of the head.
    greatest_db: Vec<Decibels>,
}

impl PairResponse {
    pub(super) fn new(sounded: &WaveFieldView<'_>, both: &CoherentSum) -> Self {
        Self {
            pair: both.name.clone(),
            speakers: both.speakers.iter().map(|&id| sounded.speaker(id).to_owned()).collect(),
            listener: sounded.listener(both.listener).to_owned(),
            response: Response::new(
                (both.unevenness_db, both.range_hz),
                &both.level_db,
                &both.spread_db,
            ),
        }
    }
}

impl Response {
    pub(super) fn new(
        (unevenness_db, range_hz): (Option<f64>, [f64; 2]),
        level_db: &[f64],
        spread_db: &[[f64; 2]],
    ) -> Self {
        Self {
            range_from_to_hz: range_hz.map(hertz),
            unevenness_db: unevenness_db.map(decibels),
            level_db: level_db.iter().copied().map(decibels).collect(),
            least_db: spread_db.iter().map(|[least, _]| decibels(*least)).collect(),
            greatest_db: spread_db.iter().map(|[_, greatest]| decibels(*greatest)).collect(),
        }
    }
}
