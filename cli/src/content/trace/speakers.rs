//! Each speaker's distance and direction, and how well the sides of a pair match.

use super::TraceReport;
use crate::content::document::{Cell, Column, Document, Table};
use crate::content::mismatch::pair_mismatch;
use crate::format::{direction, length, time};
use earline_engine::scene::{ListenerId, Side};
use earline_engine::simulate::PairSimulation;

/// The speakers as a seat has them.
pub(super) fn document(report: &TraceReport<'_>, listener: ListenerId) -> Document {
    let here: Vec<&PairSimulation> =
        report.trace.pairs.iter().filter(|pair| pair.listener == listener).collect();
    let columns = vec![
        Column::left("Speaker"),
        Column::right("Distance"),
        Column::right("Arrives"),
        Column::left("Comes"),
    ];
    let mut table = Table::new("Speakers", columns);
    for pair in &here {
        let direct = &pair.direct;
        let row = table.row(vec![
            Cell::plain(report.speaker(pair.speaker)),
            Cell::plain(length::length(direct.distance_m, report.units())),
            Cell::plain(time::delay(direct.time_s)),
            Cell::plain(direction::words(direct.azimuth_deg, direct.elevation_deg)),
        ]);
        if direct.occluded {
            row.alert("something stands in its way");
        }
    }
    let mut document = Document::default();
    document.table(table);
    for pair in &here {
        if let Some(other) = right_of(report, pair, &here) {
            document.note(matched(report, pair, other));
        }
    }
    document
}

/// The right speaker of the pair whose left one this is, among those traced here.
fn right_of<'a>(
    report: &TraceReport<'_>,
    pair: &PairSimulation,
    here: &[&'a PairSimulation],
) -> Option<&'a PairSimulation> {
    let side_of = |p: &PairSimulation| report.scene[p.speaker].pair.as_ref();
    let (name, Side::Left) = side_of(pair)? else { return None };
    here.iter().copied().find(|p| side_of(p).is_some_and(|(n, s)| n == name && *s == Side::Right))
}

/// How well the two match: angle, distance and time.
fn matched(report: &TraceReport<'_>, left: &PairSimulation, right: &PairSimulation) -> String {
    let name = report.scene[left.speaker].pair.as_ref().map_or("", |(name, _)| name);
    let at = report.scene[left.listener].at;
    let toward = |p: &PairSimulation| report.scene[p.speaker].at - at;
    let angle = toward(left).angle_between(toward(right)).to_degrees();
    let matched = pair_mismatch(left, right, report.units())
        .unwrap_or_else(|| "their distances match".to_owned());
    format!("{name}: {angle:.0}° between left and right; {matched}")
}
