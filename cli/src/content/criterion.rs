//! Published starting points: the limit for early reflections, and the recommendation for the decay with
//! a seat's reverberation times against it.

use crate::format::number::fixed;
use crate::format::time;
use earline_engine::medium::bands::PerBand;
use earline_engine::metrics::criteria::{
    BandJudgement, EarlyLimit, Judgement, NEAR_S, ReverberationCriterion, mean_reverberation_s,
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

/// Caveat beside a figure that we hold from memory only.
pub(crate) const FROM_MEMORY: &str = "from memory: check the document before you quote it";

/// The document of a recommendation, with the caveat it needs.
pub(crate) fn cited(criterion: &ReverberationCriterion) -> String {
    let caveat =
        if criterion.is_from_memory() { format!(" ({FROM_MEMORY})") } else { String::new() };
    format!("{}{caveat}", criterion.document)
}

/// The limit for early reflections, with the source of our copy.
pub(crate) fn early_limit(limit: &EarlyLimit) -> String {
    format!(
        "Limit: {}, {} dB below the direct sound in the first {}, 1 to 8 kHz (our copy: {}). A published \
         starting point, not a law; --limit chooses another.",
        limit.document,
        fixed(-limit.level_db(), 0),
        time::milliseconds(limit.window_s(), 0),
        limit.provenance,
    )
}

/// The same in short: `EBU Tech 3276: −10 dB in 15 ms`.
pub(crate) fn early_limit_in_short(limit: &EarlyLimit) -> String {
    format!(
        "{}: {} dB in {}",
        limit.document,
        fixed(limit.level_db(), 0),
        time::milliseconds(limit.window_s(), 0),
    )
}

/// The recommendation for the decay, with the sources of our copy.
pub(crate) fn reverberation_criterion(criterion: &ReverberationCriterion) -> String {
    format!(
        "Reverberation: {}; pass is within its tolerance, near is outside by less than {NEAR_S} s or \
         than the error, miss is further out (our copy: nominal time: {}; tolerance: {}). A \
         published starting point, not a law; --criterion chooses another.",
        criterion.document, criterion.nominal_provenance, criterion.mask_provenance,
    )
}
