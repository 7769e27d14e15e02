//! What is strongest within the limit's window, and what a person might try first.

use super::list::level;
use super::remedy::remedy;
use super::{Told, ripple};
use crate::columns::paragraph;
use crate::naming;
use crate::numbering::Numbered;
use crate::terminal::HEADING;
use earline_engine::criteria::Verdict;
use earline_engine::image_sources::Bounce;

/// So many things to try; more at once teaches nothing.
const TRY_FIRST: usize = 4;

pub(super) fn lines(told: &Told<'_>, numbered: &[Numbered<'_>], width: usize) -> Vec<String> {
    let mut early: Vec<&Numbered<'_>> = numbered
        .iter()
        .filter(|n| told.verdict(n) != Verdict::Later && n.reflection.level_db.is_finite())
        .collect();
    early.sort_by(|a, b| b.reflection.level_db.total_cmp(&a.reflection.level_db));
    let mut lines = vec![format!("{HEADING}What stands out{HEADING:#}")];
    let Some(&strongest) = early.first() else {
        let text = format!("  Nothing arrives in the first {:.0} ms.", told.limit.window_s() * 1e3);
        lines.extend(paragraph(&text, 2, width));
        return lines;
    };
    let over: Vec<&Numbered<'_>> =
        early.iter().copied().filter(|n| told.verdict(n) == Verdict::Over).collect();
    lines.extend(paragraph(&format!("  {}", summary(told, strongest, over.len())), 2, width));
    if let Some(text) = ripple::words(told, strongest) {
        lines.extend(paragraph(&format!("  {text}"), 2, width));
    }
    let places = places(&over);
    if !places.is_empty() {
        lines.push(String::new());
        lines.push(format!("{HEADING}A starting point to experiment from{HEADING:#}"));
        for (index, place) in places.iter().take(TRY_FIRST).enumerate() {
            let text = format!("  {}. {}", index + 1, what_to_try(told, place));
            lines.extend(paragraph(&text, 5, width));
        }
        let last = "  Change one thing at a time, trace again, and compare by ear at a moderate \
                    level: long loud listening wears out ears and judgement.";
        lines.extend(paragraph(last, 2, width));
    }
    lines
}

fn summary(told: &Told<'_>, strongest: &Numbered<'_>, over: usize) -> String {
    let r = strongest.reflection;
    let count = match over {
        0 => "No listed reflection is over the limit".to_owned(),
        1 => "One reflection is over the limit".to_owned(),
        n => format!("{n} reflections are over the limit"),
    };
    format!(
        "{count}. The strongest in its first {:.0} ms is no. {}: {} by way of {}, {} at {:.2} ms.",
        told.limit.window_s() * 1e3,
        strongest.number,
        told.speaker(strongest),
        naming::spoken_path(told.scene, &r.arrival.bounces),
        level(r.level_db),
        r.after_direct_s * 1e3,
    )
}

/// Single bounces over the limit on one face, the strongest first; what is done for one bears on
/// the others, and on the longer paths that meet it.
struct Place<'a> {
    bounce: &'a Bounce,
    strongest: &'a Numbered<'a>,
}

fn places<'a>(over: &[&'a Numbered<'a>]) -> Vec<Place<'a>> {
    let single = |n: &&'a Numbered<'a>| match n.reflection.arrival.bounces.as_slice() {
        [bounce] => Some(Place { bounce, strongest: n }),
        _ => None,
    };
    let firsts: Vec<Place<'a>> = over.iter().filter_map(single).collect();
    if firsts.is_empty() {
        // Only longer paths are over: begin where the strongest of them meets its first surface.
        let first = |n: &&'a Numbered<'a>| {
            let bounce = n.reflection.arrival.bounces.first()?;
            Some(Place { bounce, strongest: n })
        };
        return over.iter().take(1).filter_map(first).collect();
    }
    firsts
}

fn what_to_try(told: &Told<'_>, place: &Place<'_>) -> String {
    format!(
        "No. {} ({}, {}): {}",
        place.strongest.number,
        told.speaker(place.strongest),
        level(place.strongest.reflection.level_db),
        remedy(told, place.bounce),
    )
}
