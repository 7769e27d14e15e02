//! Judgement of a decay by a published recommendation, in the document of `trace`.

use super::round::{Seconds, seconds};
use crate::content::criterion::{RATED_METRIC, evaluate, word};
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::criteria::{FigureProvenance, ReverberationCriterion};
use earline_engine::simulate::PairDecay;
use schemars::JsonSchema;
use serde::Serialize;

const NO_MEAN: &str = "T20 is missing in a band from 250 Hz to 4 kHz";

/// A recommendation and its judgement of one speaker at one seat.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CriterionRow {
    /// Name of the recommendation on the command line.
    key: &'static str,
    /// Document that gives it.
    document: &'static str,
    /// Figure that is judged.
    figure: &'static str,
    /// Nominal reverberation time for the volume of the room.
    nominal_s: Seconds,
    nominal_provenance: &'static str,
    nominal_from_memory: bool,
    tolerance_provenance: &'static str,
    tolerance_from_memory: bool,
    /// Whether any of its figures are known from memory only.
    from_memory: bool,
    /// Mean T20 from 250 Hz to 4 kHz; null where a band is missing.
    mean_s: Option<Seconds>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mean_reason: Option<&'static str>,
    bands: Vec<BandJudgement>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct BandJudgement {
    hz: f64,
    /// Judgement in a word; null where the figure is missing.
    judgement: Option<&'static str>,
    lower_s: Seconds,
    upper_s: Seconds,
    /// Distance from the tolerance, 0 within it; null where the figure is missing.
    outside_s: Option<Seconds>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
}

impl CriterionRow {
    pub(crate) fn new(
        criterion: &'static ReverberationCriterion,
        volume_m3: f64,
        pair: &PairDecay,
    ) -> Self {
        let found = evaluate(criterion, volume_m3, pair);
        let band = |(band, hz): (usize, f64)| {
            let limits = criterion.band_limits(volume_m3, band)?;
            let judgement = &found.bands[band];
            Some(BandJudgement {
                hz,
                judgement: judgement.map(|found| word(found.judgement)),
                lower_s: seconds(limits.lower_s),
                upper_s: seconds(limits.upper_s),
                outside_s: judgement.map(|found| seconds(found.outside_s)),
                reason: pair.metrics[band][RATED_METRIC].err().map(|absent| absent.to_string()),
            })
        };
        Self {
            key: criterion.key,
            document: criterion.document,
            figure: "t20_s",
            nominal_s: seconds(criterion.nominal_s(volume_m3)),
            nominal_provenance: criterion.nominal_provenance,
            nominal_from_memory: criterion.nominal_known == FigureProvenance::Memory,
            tolerance_provenance: criterion.mask_provenance,
            tolerance_from_memory: criterion.mask_known == FigureProvenance::Memory,
            from_memory: criterion.is_from_memory(),
            mean_s: found.mean_s.map(seconds),
            mean_reason: found.mean_s.is_none().then_some(NO_MEAN),
            bands: NOMINAL_HZ.into_iter().enumerate().filter_map(band).collect(),
        }
    }
}
