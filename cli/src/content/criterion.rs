//! A seat's reverberation times held against a published recommendation.

use earline_engine::medium::bands::PerBand;
use earline_engine::metrics::criteria::{
    BandJudgement, Judgement, ReverberationCriterion, mean_reverberation_s,
};
use earline_engine::metrics::decay::Metric;
use earline_engine::simulate::PairDecay;

/// The figure that stands for the reverberation time.
pub(crate) const RATED_METRIC: Metric = Metric::T20;

/// What a recommendation says of one speaker at one seat.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CriterionResult {
    /// Band by band; `None` where there is no time to judge.
    pub(crate) bands: PerBand<Option<BandJudgement>>,
    /// Mean time over 250 Hz to 4 kHz, seconds; `None` where one of them is missing.
    pub(crate) mean_s: Option<f64>,
}

/// Holds a decay against a recommendation for a room of this volume.
pub(crate) fn evaluate(
    criterion: &ReverberationCriterion,
    volume_m3: f64,
    pair: &PairDecay,
) -> CriterionResult {
    let times = std::array::from_fn(|band| pair.metrics[band][RATED_METRIC].ok());
    CriterionResult {
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

/// What has to be said wherever a figure is shown that we hold from memory only.
pub(crate) const FROM_MEMORY: &str = "from memory: check the document before you quote it";
