//! Subwoofers in the document of `bass`: the parts of what plays together, how they add up, and their setting.

use super::bass_responses::PairResponse;
use super::round::{Decibels, Hertz, Milliseconds, decibels, hertz, milliseconds};
use crate::content::wave_field::WaveFieldView;
use earline_engine::wave_field::{SubwooferAlignment, SubwooferSum};
use schemars::JsonSchema;
use serde::Serialize;

/// Subwoofers and what they play along with; all empty without any.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Subwoofers {
    /// Each pair without subwoofers, and the subwoofers without it, at every listener.
    parts: Vec<PairResponse>,
    /// Each pair or speaker with the subwoofers, at every listener.
    sums: Vec<SubwooferLoss>,
    /// The setting that adds up best with the first pair, at all listeners together.
    alignment: Option<Alignment>,
}

/// How a pair or speaker and the subwoofers add up at a listener.
#[derive(Debug, Serialize, JsonSchema)]
struct SubwooferLoss {
    /// The pair or the speaker.
    pair: String,
    listener: String,
    /// Range in which both play; null where they have none in common.
    overlap_from_to_hz: Option<[Hertz; 2]>,
    /// Level of the sum against that of both in phase, for each of `frequencies_hz`.
    loss_db: Vec<Decibels>,
    /// Where they cancel within that range.
    cancellations: Vec<CancellationRow>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct CancellationRow {
    hz: Hertz,
    loss_db: Decibels,
}

/// A setting of all subwoofers.
#[derive(Debug, Serialize, JsonSchema)]
struct Alignment {
    /// The pair or the speaker.
    pair: String,
    overlap_from_to_hz: [Hertz; 2],
    /// Mean loss over that range as it is.
    now_db: Decibels,
    /// Mean loss with this setting.
    best_db: Decibels,
    /// Delay of the subwoofers beyond what they have; negative where the pair has to be delayed.
    delay_ms: Milliseconds,
    /// Whether their polarity is to be the other one.
    invert: bool,
}

impl Subwoofers {
    pub(super) fn new(sounded: &WaveFieldView<'_>) -> Self {
        let found = sounded.found;
        let part = |sum| PairResponse::new(sounded, sum);
        Self {
            parts: found.partial_sums.iter().map(part).collect(),
            sums: found.subwoofer_sums.iter().map(|s| SubwooferLoss::new(sounded, s)).collect(),
            alignment: found.subwoofer_alignment.as_ref().map(Alignment::new),
        }
    }
}

impl SubwooferLoss {
    fn new(sounded: &WaveFieldView<'_>, sum: &SubwooferSum) -> Self {
        let row = |hz, loss_db| CancellationRow { hz: hertz(hz), loss_db: decibels(loss_db) };
        Self {
            pair: sum.name.clone(),
            listener: sounded.listener(sum.listener).to_owned(),
            overlap_from_to_hz: sum.overlap_hz.map(|ends| ends.map(hertz)),
            loss_db: sum.loss_db.iter().copied().map(decibels).collect(),
            cancellations: sum.cancellations.iter().map(|c| row(c.hz, c.loss_db)).collect(),
        }
    }
}

impl Alignment {
    fn new(best: &SubwooferAlignment) -> Self {
        Self {
            pair: best.name.clone(),
            overlap_from_to_hz: best.overlap_hz.map(hertz),
            now_db: decibels(best.now_db),
            best_db: decibels(best.best_db),
            delay_ms: milliseconds(1e-3 * best.delay_ms),
            invert: best.inverts,
        }
    }
}
