//! The strongest reflection within the limit's window, and what to try first.

use super::remedy::{BounceKind, remedy};
use super::{TraceReport, comb_filter};
use crate::content::document::{Document, MarkedItem};
use crate::content::numbering::Numbered;
use crate::format::{labels, level, time};
use earline_engine::image_source::Bounce;
use earline_engine::metrics::criteria::Verdict;

/// So many things to try; more at once teaches nothing.
const TRY_FIRST: usize = 4;

/// The strongest early sound at a seat, and things to try against it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Advice {
    /// The strongest early reflection and its comb, in sentences.
    pub(crate) stands_out: Vec<String>,
    /// Things to try, the most promising first.
    pub(crate) to_try: Vec<String>,
}

/// Advice that goes with every list of things to try.
pub(crate) const ONE_AT_A_TIME: &str = "Change one thing at a time, trace again, and compare by ear at a \
                                        moderate level: long loud listening wears out ears and judgement.";

/// What stands out at a seat, and what might be tried.
pub(crate) fn advice(report: &TraceReport<'_>, numbered: &[Numbered<'_>]) -> Advice {
    let mut early: Vec<&Numbered<'_>> = numbered
        .iter()
        .filter(|n| report.verdict(n) != Verdict::Later && n.reflection.level_db.is_finite())
        .collect();
    // By level to a hundredth, so that mirrored reflections keep the order of their numbers.
    early.sort_by_key(|n| (hundredths(-n.reflection.level_db), n.number));
    let Some(&strongest) = early.first() else {
        let window = time::milliseconds(report.limit.window_s(), 0);
        let nothing = format!("Nothing arrives in the first {window}.");
        return Advice { stands_out: vec![nothing], to_try: Vec::new() };
    };
    let over: Vec<&Numbered<'_>> =
        early.iter().copied().filter(|n| report.verdict(n) == Verdict::Over).collect();
    let mut stands_out = vec![summary(report, strongest, over.len())];
    stands_out.extend(comb_filter::sentence(report, strongest));
    let places = places(report, &over);
    let to_try = places.iter().take(TRY_FIRST).map(|place| what_to_try(report, place)).collect();
    Advice { stands_out, to_try }
}

/// The advice at a seat.
pub(super) fn document(report: &TraceReport<'_>, numbered: &[Numbered<'_>]) -> Document {
    let Advice { stands_out, to_try } = advice(report, numbered);
    let mut document = Document::default();
    document.heading("What stands out");
    for text in stands_out {
        document.note(text);
    }
    if !to_try.is_empty() {
        let numbers = (1..).map(|number: usize| format!("{number}."));
        let items = numbers.zip(to_try).map(|(number, text)| MarkedItem::new(number, text));
        document.heading("A starting point to experiment from").items(items).note(ONE_AT_A_TIME);
    }
    document
}

fn hundredths(decibels: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "levels are far below 2^63")]
    let whole = (decibels * 100.0).round() as i64;
    whole
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

/// Bounces over the limit that ask for the same thing to be tried, the strongest first.
struct BounceGroup<'a> {
    kind: BounceKind,
    bounces: Vec<(&'a Numbered<'a>, &'a Bounce)>,
}

/// Single bounces by what might be done about them: that bears on the longer paths as well.
/// Where only longer paths are over, the strongest is met at its first surface.
fn places<'a>(report: &TraceReport<'_>, over: &[&'a Numbered<'a>]) -> Vec<BounceGroup<'a>> {
    let is_single = |n: &Numbered<'_>| n.reflection.arrival.bounces.len() == 1;
    let mut chosen: Vec<&'a Numbered<'a>> = over.iter().copied().filter(|n| is_single(n)).collect();
    if chosen.is_empty() {
        chosen.extend(over.first());
    }
    let mut places: Vec<BounceGroup<'a>> = Vec::new();
    for n in chosen {
        let Some(bounce) = n.reflection.arrival.bounces.first() else { continue };
        let kind = BounceKind::of(report.scene, bounce);
        match places.iter_mut().find(|place| place.kind == kind) {
            Some(place) => place.bounces.push((n, bounce)),
            None => places.push(BounceGroup { kind, bounces: vec![(n, bounce)] }),
        }
    }
    places
}

fn what_to_try(report: &TraceReport<'_>, place: &BounceGroup<'_>) -> String {
    let mut numbers: Vec<usize> = place.bounces.iter().map(|(n, _)| n.number).collect();
    numbers.sort_unstable();
    let strongest = place.bounces.first().map_or(f64::NEG_INFINITY, |(n, _)| n.reflection.level_db);
    let loudest = if numbers.len() == 1 { "" } else { "up to " };
    let spots: Vec<(usize, &Bounce)> =
        place.bounces.iter().map(|&(n, bounce)| (n.number, bounce)).collect();
    format!(
        "{} ({}, {loudest}{}): {}",
        place.kind.title(),
        listed(&numbers),
        level::with_unit(strongest),
        remedy(report, &place.kind, &spots),
    )
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
