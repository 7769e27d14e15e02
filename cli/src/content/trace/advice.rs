//! What stands out at a seat, and what to try first.

use super::remedy::{BounceKind, remedy};
use super::seat::{SeatReflections, Suggestion};
use super::{TraceReport, comb_filter, decay, zones};
use crate::content::document::Document;
use crate::content::mirrored::MirroredRow;
use crate::content::numbering::Numbered;
use crate::format::both_sides::both_sides;
use crate::format::sentence::capital;
use crate::format::{labels, level, time};
use earline_engine::image_source::Bounce;
use earline_engine::scene::ListenerId;
use std::collections::BTreeSet;

/// So many things to try; more at once teaches nothing.
pub(crate) const TRY_FIRST: usize = 3;

/// So many spots are named one by one; the list of reflections has them all.
const SPOTS: usize = 2;

/// Advice that goes with every list of things to try.
pub(crate) const ONE_AT_A_TIME: &str = "Change one thing at a time, trace again, and compare by ear at a \
                                        moderate level: long loud listening wears out ears and judgement.";

/// What stands out at a seat: the strongest early reflection and its comb, in sentences.
pub(crate) fn stands_out(report: &TraceReport<'_>, seat: &SeatReflections<'_>) -> Vec<String> {
    let Some(strongest) = seat.strongest(report) else {
        let window = time::milliseconds(report.limit.window_s(), 0);
        return vec![format!("Nothing arrives in the first {window}.")];
    };
    let over: usize = seat.over(report).iter().map(|row| row.len()).sum();
    let mut sentences = vec![summary(report, &strongest.first, over)];
    sentences.extend(comb_filter::sentence(report, &strongest.first));
    sentences
}

/// What stands out at one seat, and what might be tried.
pub(super) fn document(report: &TraceReport<'_>, seat: &SeatReflections<'_>) -> Document {
    let mut document = Document::default();
    document.heading("What stands out");
    for text in stands_out(report, seat) {
        document.note(text);
    }
    let to_try = against_reflections(report, std::slice::from_ref(seat));
    if !to_try.is_empty() {
        document.heading("A starting point to experiment from");
        document.numbered(to_try.into_iter().map(|one| one.text)).note(ONE_AT_A_TIME);
    }
    document
}

fn summary(report: &TraceReport<'_>, strongest: &Numbered<'_>, over: usize) -> String {
    let r = strongest.reflection;
    let count = match over {
        0 => "No listed reflection is over the limit".to_owned(),
        1 => "One reflection is over the limit".to_owned(),
        n => format!("{n} reflections are over the limit"),
    };
    format!(
        "{count}. The strongest in its first {} is no. {}: {} off {}, {} at {}.",
        time::milliseconds(report.limit.window_s(), 0),
        strongest.number,
        report.speaker(strongest.pair.speaker),
        labels::spoken_path(report.scene, &r.arrival.bounces),
        level::with_unit(r.level_db),
        time::delay(r.delay_s),
    )
}

/// Everything that might be tried for these seats, in the order of what it is worth: against reflections
/// over the limit, against a long decay, and where a panel would still work.
pub(crate) fn things_to_try(
    report: &TraceReport<'_>,
    seats: &[SeatReflections<'_>],
) -> Vec<Suggestion> {
    let mut all = against_reflections(report, seats);
    all.extend(decay::suggestion(report));
    all.extend(zones::suggestions(report, seats));
    all.sort_by(|a, b| level::loudest_first(a.worth_db, b.worth_db));
    all
}

/// Against everything that is over the limit, what matters most first.
pub(crate) fn against_reflections(
    report: &TraceReport<'_>,
    seats: &[SeatReflections<'_>],
) -> Vec<Suggestion> {
    let mut groups: Vec<BounceGroup<'_>> = Vec::new();
    for seat in seats {
        for row in to_meet(&seat.over(report)) {
            let kinds = kinds(report, row);
            match groups.iter_mut().find(|group| group.kinds == kinds) {
                Some(group) => group.rows.push((seat.listener, row)),
                None => groups.push(BounceGroup { kinds, rows: vec![(seat.listener, row)] }),
            }
        }
    }
    for group in &mut groups {
        group.rows.sort_by(|(_, a), (_, b)| level::loudest_first(a.level_db(), b.level_db()));
    }
    groups.sort_by(|a, b| level::loudest_first(a.level_db(), b.level_db()));
    let suggestion = |group: &BounceGroup<'_>| Suggestion {
        worth_db: group.level_db() - report.limit.level_db(),
        text: group.text(report, 1 < seats.len()),
    };
    groups.iter().map(suggestion).collect()
}

/// Single bounces: what is done about them bears on longer paths as well. Where only longer paths are over,
/// the strongest is met at its first surface.
fn to_meet<'b, 'a>(over: &[&'b MirroredRow<'a>]) -> Vec<&'b MirroredRow<'a>> {
    let is_single = |row: &&&MirroredRow<'_>| row.first.reflection.arrival.bounces.len() == 1;
    let single: Vec<&MirroredRow<'a>> = over.iter().filter(is_single).copied().collect();
    if single.is_empty() { over.first().copied().into_iter().collect() } else { single }
}

/// Where the reflections of a row bounce first.
fn first_bounces<'a>(row: &MirroredRow<'a>) -> impl Iterator<Item = &'a Bounce> {
    row.each().filter_map(|n| n.reflection.arrival.bounces.first())
}

fn kinds(report: &TraceReport<'_>, row: &MirroredRow<'_>) -> BTreeSet<BounceKind> {
    first_bounces(row).map(|bounce| BounceKind::of(report.scene, bounce)).collect()
}

/// Bounces over the limit that ask for the same thing to be tried, at any seat, the strongest first.
struct BounceGroup<'a> {
    kinds: BTreeSet<BounceKind>,
    rows: Vec<(ListenerId, &'a MirroredRow<'a>)>,
}

impl BounceGroup<'_> {
    fn level_db(&self) -> f64 {
        self.rows.first().map_or(f64::NEG_INFINITY, |(_, row)| row.level_db())
    }

    /// What to try, with seats by name where there are several.
    fn text(&self, report: &TraceReport<'_>, by_seat: bool) -> String {
        let mut titles = self.kinds.iter().map(BounceKind::title);
        let first = titles.next().unwrap_or_default();
        let title = titles.fold(first, |title, other| both_sides(&title, &other));
        let (which, here) = if by_seat { self.by_seat(report) } else { self.by_number() };
        let (Some(kind), Some((listener, _))) = (self.kinds.first(), self.rows.first()) else {
            return title;
        };
        format!(
            "{} ({which}): {}",
            capital(&title),
            remedy(report, kind, (*listener, &here), if by_seat { 1 } else { SPOTS })
        )
    }

    /// The strongest at every seat, and the rows at the seat of the strongest.
    fn by_seat(&self, report: &TraceReport<'_>) -> (String, Vec<&MirroredRow<'_>>) {
        let mut seats: Vec<ListenerId> = Vec::new();
        let mut told = Vec::new();
        for (listener, row) in &self.rows {
            if !seats.contains(listener) {
                seats.push(*listener);
                let name = &report.scene[*listener].name;
                told.push(format!("{} at {name}", level::with_unit(row.level_db())));
            }
        }
        let here = self.rows.iter().filter(|(listener, _)| Some(listener) == seats.first());
        (told.join(", "), here.map(|(_, row)| *row).collect())
    }

    /// The numbers, and all rows.
    fn by_number(&self) -> (String, Vec<&MirroredRow<'_>>) {
        let rows: Vec<&MirroredRow<'_>> = self.rows.iter().map(|(_, row)| *row).collect();
        let mut numbers: Vec<usize> =
            rows.iter().flat_map(|row| row.each()).map(|n| n.number).collect();
        numbers.sort_unstable();
        let loudest = if rows.len() == 1 { "" } else { "up to " };
        let told = format!("{}, {loudest}{}", listed(&numbers), level::with_unit(self.level_db()));
        (told, rows)
    }
}

/// `no. 3`, or `nos. 3, 4 and 8`.
fn listed(numbers: &[usize]) -> String {
    let words: Vec<String> = numbers.iter().map(usize::to_string).collect();
    match words.split_last() {
        None => String::new(),
        Some((only, [])) => format!("no. {only}"),
        Some((last, rest)) => format!("nos. {} and {last}", rest.join(", ")),
    }
}
