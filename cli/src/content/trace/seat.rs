//! The reflections at one seat, and what one may try against them.

use super::TraceReport;
use crate::content::mirrored::{MirroredRow, mirrored_rows};
use crate::content::numbering::{Numbered, at_listener};
use crate::format::level::loudest_first;
use earline_engine::metrics::criteria::Verdict;
use earline_engine::scene::ListenerId;

/// The reflections at a seat.
#[derive(Debug, Clone)]
pub(crate) struct SeatReflections<'a> {
    /// The seat.
    pub(crate) listener: ListenerId,
    /// All, in the order of their numbers.
    pub(crate) numbered: Vec<Numbered<'a>>,
    /// The same with mirrored ones together.
    pub(crate) rows: Vec<MirroredRow<'a>>,
}

impl<'a> SeatReflections<'a> {
    /// The reflections at a seat of a report.
    pub(crate) fn new(
        report: &TraceReport<'_>,
        listener: ListenerId,
        numbered: Vec<Numbered<'a>>,
    ) -> Self {
        let rows = mirrored_rows(report.scene, report.state, &numbered);
        Self { listener, numbered, rows }
    }

    /// Those of a whole trace at one of its seats.
    pub(super) fn at(report: &TraceReport<'a>, listener: ListenerId) -> Self {
        Self::new(report, listener, at_listener(report.trace, listener))
    }

    /// Those over the limit, the strongest first.
    pub(super) fn over(&self, report: &TraceReport<'_>) -> Vec<&MirroredRow<'a>> {
        let is_over = |row: &&MirroredRow<'_>| report.verdict(&row.first) == Verdict::Over;
        let mut over: Vec<&MirroredRow<'a>> = self.rows.iter().filter(is_over).collect();
        over.sort_by(|a, b| loudest_first(a.level_db(), b.level_db()));
        over
    }

    /// The strongest within the limit's time.
    pub(crate) fn strongest(&self, report: &TraceReport<'_>) -> Option<&MirroredRow<'a>> {
        let is_early = |row: &&MirroredRow<'_>| {
            report.verdict(&row.first) != Verdict::Later && row.level_db().is_finite()
        };
        let early = self.rows.iter().filter(is_early);
        early.min_by(|a, b| loudest_first(a.level_db(), b.level_db()))
    }
}

/// A thing to try, and what it is worth: decibels over what is asked for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Suggestion {
    /// Decibels over the limit; negative where nothing is over it.
    pub(crate) worth_db: f64,
    /// What to do, in a sentence or two.
    pub(crate) text: String,
}
