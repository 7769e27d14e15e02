//! What is strongest within the limit's window, and what a person might try first.

use super::list::level;
use super::remedy::{Kind, remedy};
use super::{TraceReport, ripple};
use crate::content::numbering::Numbered;
use crate::format::labels;
use crate::io::terminal::HEADING;
use crate::render::columns::{indented, item};
use earline_engine::image_source::Bounce;
use earline_engine::metrics::criteria::Verdict;

/// So many things to try; more at once teaches nothing.
const TRY_FIRST: usize = 4;

/// What stands out at a seat, and what might be tried.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Advice {
    /// What is strongest, in sentences.
    pub(crate) stands_out: Vec<String>,
    /// What might be tried, the most promising first.
    pub(crate) to_try: Vec<String>,
}

/// What has to be said with things to try.
pub(crate) const ONE_AT_A_TIME: &str = "Change one thing at a time, trace again, and compare by ear at a \
                                        moderate level: long loud listening wears out ears and judgement.";

/// What stands out at a seat, and what might be tried.
pub(crate) fn advice(told: &TraceReport<'_>, numbered: &[Numbered<'_>]) -> Advice {
    let mut early: Vec<&Numbered<'_>> = numbered
        .iter()
        .filter(|n| told.verdict(n) != Verdict::Later && n.reflection.level_db.is_finite())
        .collect();
    // By level to a hundredth, so that mirrored reflections keep the order of their numbers.
    early.sort_by_key(|n| (hundredths(-n.reflection.level_db), n.number));
    let Some(&strongest) = early.first() else {
        let first = told.limit.window_s() * 1e3;
        let nothing = format!("Nothing arrives in the first {first:.0} ms.");
        return Advice { stands_out: vec![nothing], to_try: Vec::new() };
    };
    let over: Vec<&Numbered<'_>> =
        early.iter().copied().filter(|n| told.verdict(n) == Verdict::Over).collect();
    let mut stands_out = vec![summary(told, strongest, over.len())];
    stands_out.extend(ripple::words(told, strongest));
    let places = places(told, &over);
    let to_try = places.iter().take(TRY_FIRST).map(|place| what_to_try(told, place)).collect();
    Advice { stands_out, to_try }
}

pub(super) fn lines(
    told: &TraceReport<'_>,
    numbered: &[Numbered<'_>],
    width: usize,
) -> Vec<String> {
    let Advice { stands_out, to_try } = advice(told, numbered);
    let mut lines = vec![format!("{HEADING}What stands out{HEADING:#}")];
    lines.extend(stands_out.iter().flat_map(|text| indented(text, 2, width)));
    if !to_try.is_empty() {
        lines.push(String::new());
        lines.push(format!("{HEADING}A starting point to experiment from{HEADING:#}"));
        for (index, text) in to_try.iter().enumerate() {
            lines.extend(item(&format!("  {}. ", index + 1), text, width));
        }
        lines.extend(indented(ONE_AT_A_TIME, 2, width));
    }
    lines
}

fn hundredths(decibels: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "levels are far below 2^63")]
    let whole = (decibels * 100.0).round() as i64;
    whole
}

fn summary(told: &TraceReport<'_>, strongest: &Numbered<'_>, over: usize) -> String {
    let r = strongest.reflection;
    let count = match over {
        0 => "No listed reflection is over the limit".to_owned(),
        1 => "One reflection is over the limit".to_owned(),
        n => format!("{n} reflections are over the limit"),
    };
    format!(
        "{count}. The strongest in its first {:.0} ms is no. {}: {} off {}, {} at {:.2} ms.",
        told.limit.window_s() * 1e3,
        strongest.number,
        told.speaker(strongest),
        labels::spoken_path(told.scene, &r.arrival.bounces),
        level(r.level_db),
        r.delay_s * 1e3,
    )
}

/// Bounces over the limit that ask for the same thing to be tried, the strongest first.
struct Place<'a> {
    kind: Kind,
    bounces: Vec<(&'a Numbered<'a>, &'a Bounce)>,
}

/// Single bounces by what might be done about them: that bears on the longer paths as well.
/// Where only longer paths are over, the strongest is met at its first surface.
fn places<'a>(told: &TraceReport<'_>, over: &[&'a Numbered<'a>]) -> Vec<Place<'a>> {
    let is_single = |n: &Numbered<'_>| n.reflection.arrival.bounces.len() == 1;
    let mut chosen: Vec<&'a Numbered<'a>> = over.iter().copied().filter(|n| is_single(n)).collect();
    if chosen.is_empty() {
        chosen.extend(over.first());
    }
    let mut places: Vec<Place<'a>> = Vec::new();
    for n in chosen {
        let Some(bounce) = n.reflection.arrival.bounces.first() else { continue };
        let kind = Kind::of(told.scene, bounce);
        match places.iter_mut().find(|place| place.kind == kind) {
            Some(place) => place.bounces.push((n, bounce)),
            None => places.push(Place { kind, bounces: vec![(n, bounce)] }),
        }
    }
    places
}

fn what_to_try(told: &TraceReport<'_>, place: &Place<'_>) -> String {
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
        level(strongest),
        remedy(told, &place.kind, &spots),
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
