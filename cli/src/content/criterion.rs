//! A seat's reverberation times held against a published recommendation.

use earline_engine::medium::bands::PerBand;
use earline_engine::metrics::criteria::{
    BandJudgement, Judgement, ReverberationCriterion, mean_reverberation_s,
};
use earline_engine::metrics::decay::Figure;
use earline_engine::whole_decay::PairDecay;

/// The figure that stands for the reverberation time.
pub(crate) const JUDGED: Figure = Figure::T20;

/// What a recommendation says of one speaker at one seat.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Judged {
    /// Band by band; `None` where there is no time to judge.
    pub(crate) bands: PerBand<Option<BandJudgement>>,
    /// Mean time over 250 Hz to 4 kHz, seconds; `None` where one of them is missing.
    pub(crate) mean_s: Option<f64>,
}

/// Holds a decay against a recommendation for a room of this volume.
pub(crate) fn judged(
    criterion: &ReverberationCriterion,
    volume_m3: f64,
    pair: &PairDecay,
) -> Judged {
    let times = std::array::from_fn(|band| pair.figures[band][JUDGED].ok());
    Judged {
        bands: std::array::from_fn(|band| criterion.judge(volume_m3, band, times[band]?)),
        mean_s: mean_reverberation_s(&times.map(|time| time.map(|estimate| estimate.value))),
    }
}

/// A judgement in a word.
pub(crate) fn word(judgement: Judgement) -> &'static str {
    match judgement {
        Judgement::Pass => "pass",
        Judgement::Near => "near",
        Judgement::Miss => "miss",
    }
}

/// The limit for early reflections, with the source of our copy.
pub(crate) fn early_limit(limit: &earline_engine::metrics::criteria::EarlyLimit) -> String {
    format!(
        "Limit: {}, {:.0} dB below the direct sound in the first {:.0} ms, 1 to 8 kHz \
         (our copy: {}). A published starting point, not a law; --limit chooses another.",
        limit.document,
        -limit.level_db(),
        limit.window_s() * 1000.0,
        limit.provenance,
    )
}

/// What has to be said wherever a figure is shown that we hold from memory only.
pub(crate) const FROM_MEMORY: &str = "from memory: check the document before you quote it";
