//! A decay against a published recommendation.

use super::TraceReport;
use super::columns::band_columns;
use crate::content::criterion::{cited, evaluate, word};
use crate::content::document::{Cell, Column, Document, Table, Tone};
use crate::format::number::{MISSING, or_missing, signed};
use crate::format::{length, time};
use earline_engine::medium::bands::BAND_COUNT;
use earline_engine::metrics::criteria::{BandJudgement, Judgement, MaskPoint};
use earline_engine::simulate::PairDecay;

/// Every speaker at a listener against the recommendation.
pub(super) fn document(report: &TraceReport<'_>, here: &[&PairDecay]) -> Document {
    let volume_m3 = report.scene.room().volume_m3();
    let mut document = Document::default();
    document.note(format!(
        "Against {}: {} s for {} of air, as the mean of 250 Hz to 4 kHz.",
        cited(report.criterion),
        time::decay(report.criterion.nominal_s(volume_m3)),
        length::volume(volume_m3, report.units()),
    ));
    document.widths([true, false].map(|has_excess| table(report, here, has_excess)));
    document
}

/// The judgements, with how far outside a time lies if asked for.
fn table(report: &TraceReport<'_>, here: &[&PairDecay], has_excess: bool) -> Table {
    let criterion = report.criterion;
    let volume_m3 = report.scene.room().volume_m3();
    let mut columns = band_columns();
    columns.push(Column::right("Mean"));
    let mut table = Table::new(format!("T20 against {}", criterion.document), columns);
    for pair in here {
        let found = evaluate(criterion, volume_m3, pair);
        let mut cells = vec![Cell::plain(report.speaker(pair.speaker))];
        cells.extend(found.bands.iter().map(|band| cell(band.as_ref(), has_excess)));
        cells.push(Cell::plain(or_missing(found.mean_s, time::decay)));
        table.row(cells);
    }
    let mut limits = |name: &str, of: fn(MaskPoint) -> Option<f64>| {
        let limit = |band| criterion.band_limits(volume_m3, band).and_then(of).map(time::decay);
        let texts = (0..BAND_COUNT).map(|band| limit(band).unwrap_or_default());
        let cells = [name.to_owned()].into_iter().chain(texts);
        let cells = cells.map(|text| Cell::toned(text, Tone::Quiet)).chain([Cell::default()]);
        table.row(cells.collect());
    };
    limits("at most", |limits| Some(limits.upper_s));
    limits("at least", |limits| Some(limits.lower_s));
    table
}

fn cell(found: Option<&BandJudgement>, has_excess: bool) -> Cell {
    let Some(found) = found else { return Cell::plain(MISSING) };
    let tone = match found.judgement {
        Judgement::Pass => Tone::Good,
        Judgement::Near => Tone::Plain,
        Judgement::Miss => Tone::Alert,
    };
    let word = word(found.judgement);
    if has_excess && found.judgement != Judgement::Pass {
        Cell::toned(format!("{word} {}", signed(found.outside_s, 2)), tone)
    } else {
        Cell::toned(word, tone)
    }
}
