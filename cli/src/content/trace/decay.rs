//! The decay at a seat, with the error that the rays leave, and the whole room's in a finding.

use super::columns::band_columns;
use super::seat::Suggestion;
use super::{TraceReport, criterion, formulas};
use crate::content::criterion::{CriterionResult, evaluate};
use crate::content::document::{Cell, Document, Finding, Grade, Table};
use crate::content::formula_comparison;
use crate::format::number::MISSING;
use crate::format::{frequency, length, time};
use earline_engine::medium::bands::BAND_COUNT;
use earline_engine::metrics::criteria::{Judgement, mean_reverberation_s};
use earline_engine::metrics::decay::{Estimate, Metric, Unavailable};
use earline_engine::scene::ListenerId;
use earline_engine::simulate::{PairDecay, RoomDecay};
use std::mem::discriminant;

/// The decay at a listener; nothing where no rays were followed.
pub(super) fn document(report: &TraceReport<'_>, listener: ListenerId) -> Document {
    let mut document = Document::default();
    if let Some(decay) = report.decay {
        document.heading("Decay").note(explanation(decay));
        document.append(tables(report, decay, listener));
    }
    document
}

/// The quantity in the table.
pub(crate) fn explanation(decay: &RoomDecay) -> String {
    let rays = decay.speakers.iter().map(|speaker| speaker.rays).max().unwrap_or(0);
    let joined = decay.pairs.iter().map(|pair| pair.joined_bands).max().unwrap_or(0);
    let wave = if joined == 0 {
        String::new()
    } else {
        let bands: Vec<usize> = (0..joined).collect();
        format!(", {} joined to the wave field", formula_comparison::bands(&bands))
    };
    format!(
        "Reverberation time T20 in seconds in the octave bands, Hz, from the list and {rays} rays from \
         each speaker{wave}; ± is one standard error."
    )
}

/// Times and formulas, and the times against the recommendation.
pub(crate) fn tables(
    report: &TraceReport<'_>,
    decay: &RoomDecay,
    listener: ListenerId,
) -> Document {
    let here: Vec<&PairDecay> = decay.pairs.iter().filter(|p| p.listener == listener).collect();
    let mut document = Document::default();
    document.table(times(report, &here));
    for reason in reasons(&here) {
        document.note(reason);
    }
    if report.formulas {
        document.note(formulas::other_figures(report));
    }
    document.pause().append(criterion::document(report, &here));
    document
}

fn times(report: &TraceReport<'_>, here: &[&PairDecay]) -> Table {
    let mut table = Table::new("T20 in seconds, octave bands in Hz", band_columns());
    for pair in here {
        let bands = pair.metrics.iter().map(|figures| match figures[Metric::T20] {
            Ok(Estimate { value, standard_error }) => {
                Cell::plain(time::decay(value)).with_error(time::error(standard_error))
            }
            Err(_) => Cell::plain(MISSING),
        });
        let name = Cell::plain(report.speaker(pair.speaker));
        table.row([name].into_iter().chain(bands).collect());
    }
    formulas::add_rows(report, &mut table);
    table
}

/// The reason for each dash in the table: each kind once, as it first occurs.
fn reasons(here: &[&PairDecay]) -> Vec<String> {
    let mut reasons: Vec<Unavailable> = Vec::new();
    for absent in here.iter().flat_map(|p| &p.metrics).filter_map(|f| f[Metric::T20].err()) {
        if !reasons.iter().any(|known| discriminant(known) == discriminant(&absent)) {
            reasons.push(absent);
        }
    }
    reasons.iter().map(|absent| format!("{MISSING} {absent}")).collect()
}

/// The decay of all speakers at all seats against the recommendation.
#[derive(Debug, Clone, PartialEq)]
struct RoomResult {
    /// Mean time over 250 Hz to 4 kHz, seconds.
    mean_s: f64,
    /// Longest that the recommendation takes over these bands, seconds.
    upper_s: f64,
    /// The judgement on most speakers and seats, band by band, and the way it is missed: above zero too long.
    bands: Vec<(usize, Judgement, f64)>,
}

impl RoomResult {
    /// `None` where no rays were followed or a mean is missing.
    fn new(report: &TraceReport<'_>) -> Option<Self> {
        let volume_m3 = report.scene.room().volume_m3();
        let results: Vec<CriterionResult> = report
            .decay?
            .pairs
            .iter()
            .map(|pair| evaluate(report.criterion, volume_m3, pair))
            .collect();
        let means: Option<Vec<f64>> = results.iter().map(|result| result.mean_s).collect();
        let means = means.filter(|means| !means.is_empty())?;
        let upper = std::array::from_fn(|band| {
            Some(report.criterion.band_limits(volume_m3, band)?.upper_s)
        });
        let bands = (0..BAND_COUNT).filter_map(|band| {
            let mut judged: Vec<_> =
                results.iter().filter_map(|result| result.bands[band].as_ref()).collect();
            judged.sort_by(|a, b| a.outside_s.total_cmp(&b.outside_s));
            let middle = judged.get(judged.len() / 2)?;
            Some((band, middle.judgement, middle.outside_s))
        });
        Some(Self {
            mean_s: means.iter().sum::<f64>() / means.len() as f64,
            upper_s: mean_reverberation_s(&upper)?,
            bands: bands.collect(),
        })
    }

    /// Bands that miss, too long or too short.
    fn missed(&self, is_long: bool) -> Vec<usize> {
        let misses = |&&(_, judgement, outside_s): &&(usize, Judgement, f64)| {
            judgement == Judgement::Miss && (outside_s > 0.0) == is_long
        };
        self.bands.iter().filter(misses).map(|(band, ..)| *band).collect()
    }
}

/// The mean reverberation time of the verdict, seconds; `None` where no rays were followed.
pub(crate) fn mean_s(report: &TraceReport<'_>) -> Option<f64> {
    RoomResult::new(report).map(|result| result.mean_s)
}

/// The decay in a finding; nothing where no rays were followed.
pub(super) fn finding(report: &TraceReport<'_>) -> Option<Finding> {
    let result = RoomResult::new(report)?;
    let [long, short] = [true, false].map(|is_long| result.missed(is_long));
    let is_near = result.bands.iter().any(|(_, judgement, _)| *judgement != Judgement::Pass);
    let grade = match (&long[..], &short[..]) {
        ([], []) if is_near => Grade::Fair,
        ([], []) => Grade::Good,
        _ => Grade::Poor,
    };
    let says = |bands: &[usize], what: &str| {
        let bands = (!bands.is_empty()).then(|| formula_comparison::bands(bands));
        bands.map_or_else(String::new, |bands| format!(", {what} {bands}"))
    };
    Some(Finding::new(
        grade,
        format!(
            "Decay {} s, at most {} s by {}{}{}.",
            time::decay(result.mean_s),
            time::decay(result.upper_s),
            report.criterion.document,
            says(&long, "too long"),
            says(&short, "too short"),
        ),
    ))
}

/// What to do about a decay that is too long.
pub(super) fn suggestion(report: &TraceReport<'_>) -> Option<Suggestion> {
    let result = RoomResult::new(report)?;
    let lowest = *result.missed(true).first()?;
    let comparison = &report.formula_comparison;
    let missing_m2 = comparison.statistics.missing_absorption_m2(&comparison.air, result.upper_s);
    if missing_m2 <= 0.0 {
        return None;
    }
    Some(Suggestion {
        worth_db: 10.0 * (result.mean_s / result.upper_s).log10(),
        text: format!(
            "Decay: about {} more absorption that works from {} up would bring it to {} s (Sabine's \
             formula); `earline treat` looks for places. The limit is for reference rooms: a room at home \
             need not meet it.",
            length::rough_area(missing_m2, report.units()),
            frequency::band(lowest),
            time::decay(result.upper_s),
        ),
    })
}
