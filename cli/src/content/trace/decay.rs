//! The decay at a seat, with the error that the rays leave.

use super::columns::band_columns;
use super::{TraceReport, criterion, formulas};
use crate::content::document::{Cell, Document, Table};
use crate::format::number::MISSING;
use crate::format::time;
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
    format!(
        "Reverberation time T20 in seconds in the octave bands, Hz, from the list and {rays} rays from \
         each speaker; ± is one standard error of the rays."
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
