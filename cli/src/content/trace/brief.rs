//! The answer on one screen: how the room does, what to do first, and the rows that matter.

use super::advice::{ONE_AT_A_TIME, TRY_FIRST, things_to_try};
use super::seat::SeatReflections;
use super::verdict::RoomVerdict;
use super::{TraceReport, reflections, size};
use crate::content::document::Document;

/// Rows for one seat, and for each of two; of more seats each has the least.
const ROWS: [usize; 3] = [7, 4, 3];

/// The verdict, at most three things to try, and the strongest reflections at each seat.
pub(crate) fn brief(report: &TraceReport<'_>) -> Document {
    let listeners = &report.plan.listeners;
    let seats: Vec<SeatReflections<'_>> =
        listeners.iter().map(|&listener| SeatReflections::at(report, listener)).collect();
    let mut document = Document::of_scene(report.scene, report.state);
    document.paragraph(size(report)).pause();
    document.verdict(RoomVerdict::new(report, &seats).findings());
    document.heading("Try first");
    let to_try: Vec<String> =
        things_to_try(report, &seats).into_iter().take(TRY_FIRST).map(|one| one.text).collect();
    if to_try.is_empty() {
        document.note("Nothing: everything that was judged meets its limit.");
    }
    document.numbered(to_try);
    let count = ROWS[seats.len().clamp(1, ROWS.len()) - 1];
    for seat in &seats {
        let name = &report.scene[seat.listener].name;
        document.heading(format!("Strongest reflections at {name}"));
        document.append(reflections::strongest(report, seat, count));
    }
    document.pause().paragraph(format!("A starting point to experiment from. {ONE_AT_A_TIME}"));
    document.paragraph(
        "`--full` shows every first reflection, where panels would work, the decay band by band and the \
         sources of the limits.",
    );
    document
}
