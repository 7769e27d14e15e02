//! What a published recommendation says of a decay, in the trace document.

use super::round;
use crate::content::criterion::{RATED_METRIC, evaluate, word};
use crate::content::trace::TraceReport;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::criteria::Known;
use earline_engine::whole_decay::PairDecay;
use serde::Serialize;

const NO_MEAN: &str = "T20 is missing in a band from 250 Hz to 4 kHz";

/// A recommendation and its judgement of one speaker at one seat.
#[derive(Debug, Serialize)]
pub(crate) struct Criterion {
    key: &'static str,
    document: &'static str,
    /// The figure that is judged.
    figure: &'static str,
    nominal_s: f64,
    nominal_provenance: &'static str,
    nominal_from_memory: bool,
    tolerance_provenance: &'static str,
    tolerance_from_memory: bool,
    /// Whether any of its figures are held from memory only.
    from_memory: bool,
    mean_s: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mean_reason: Option<&'static str>,
    bands: Vec<Band>,
}

#[derive(Debug, Serialize)]
struct Band {
    hz: f64,
    judgement: Option<&'static str>,
    lower_s: f64,
    upper_s: f64,
    outside_s: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
}

impl Criterion {
    pub(crate) fn new(report: &TraceReport<'_>, pair: &PairDecay) -> Self {
        let criterion = report.criterion;
        let volume_m3 = report.scene.room().volume_m3();
        let found = evaluate(criterion, volume_m3, pair);
        let band = |(band, hz): (usize, f64)| {
            let limits = criterion.band_limits(volume_m3, band)?;
            let judgement = &found.bands[band];
            Some(Band {
                hz,
                judgement: judgement.map(|found| word(found.judgement)),
                lower_s: round::seconds(limits.lower_s),
                upper_s: round::seconds(limits.upper_s),
                outside_s: judgement.map(|found| round::seconds(found.outside_s)),
                reason: pair.figures[band][RATED_METRIC].err().map(|absent| absent.to_string()),
            })
        };
        Self {
            key: criterion.key,
            document: criterion.document,
            figure: "t20_s",
            nominal_s: round::seconds(criterion.nominal_s(volume_m3)),
            nominal_provenance: criterion.nominal_provenance,
            nominal_from_memory: criterion.nominal_known == Known::Memory,
            tolerance_provenance: criterion.mask_provenance,
            tolerance_from_memory: criterion.mask_known == Known::Memory,
            from_memory: criterion.is_from_memory(),
            mean_s: found.mean_s.map(round::seconds),
            mean_reason: found.mean_s.is_none().then_some(NO_MEAN),
            bands: NOMINAL_HZ.into_iter().enumerate().filter_map(band).collect(),
        }
    }
}
