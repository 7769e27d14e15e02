//! The answer on one screen: how the room does, what to do first, and the rows that matter.

use super::advice::{ONE_AT_A_TIME, TRY_FIRST, things_to_try};
use super::seat::SeatReflections;
use super::{TraceReport, decay, reflections, size};
use crate::content::criterion::early_limit_in_short;
use crate::content::document::{Document, Finding, Grade};
use crate::content::mismatch::pair_mismatch;
use crate::format::number::fixed;
use crate::format::{labels, level, time};
use earline_engine::analysis::compare::{EARLY_S, is_equal, pair_asymmetries};
use earline_engine::simulate::PairSimulation;

/// Rows for one seat, and for each of two; of more seats each has the least.
const ROWS: [usize; 3] = [7, 4, 3];

/// The verdict, at most three things to try, and the strongest reflections at each seat.
pub(crate) fn brief(report: &TraceReport<'_>) -> Document {
    let listeners = &report.plan.listeners;
    let seats: Vec<SeatReflections<'_>> =
        listeners.iter().map(|&listener| SeatReflections::at(report, listener)).collect();
    let mut document = Document::of_scene(report.scene, report.state);
    document.paragraph(size(report)).pause();
    document.verdict(findings(report, &seats));
    document.heading("Try first");
    let to_try: Vec<String> =
        things_to_try(report, &seats).into_iter().take(TRY_FIRST).map(|one| one.text).collect();
    if to_try.is_empty() {
        document.note("Nothing: all that was judged is as it is asked for.");
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

fn findings(report: &TraceReport<'_>, seats: &[SeatReflections<'_>]) -> Vec<Finding> {
    let mut findings = vec![early(report, seats)];
    findings.extend(blocked(report));
    findings.extend(decay::finding(report));
    findings.extend(sides(report));
    findings
}

/// Early reflections at every seat against the limit.
fn early(report: &TraceReport<'_>, seats: &[SeatReflections<'_>]) -> Finding {
    let limit = report.limit;
    let mut grade = Grade::Good;
    let at_seats: Vec<String> = seats
        .iter()
        .map(|seat| {
            let over: usize = seat.over(report).iter().map(|row| row.len()).sum();
            grade = grade.max(if over == 0 { Grade::Good } else { Grade::Poor });
            let strongest = seat.strongest(report).map_or_else(String::new, |row| {
                let path =
                    row.both(|n| labels::spoken_path(report.scene, &n.reflection.arrival.bounces));
                format!(", strongest {} off {path}", level::with_unit(row.level_db()))
            });
            let over = if over == 0 { "none".to_owned() } else { over.to_string() };
            format!("{over} at {}{strongest}", report.scene[seat.listener].name)
        })
        .collect();
    let text = format!(
        "Early reflections over the limit ({}): {}.",
        early_limit_in_short(limit),
        at_seats.join("; "),
    );
    Finding::new(grade, text)
}

/// Speakers that a seat does not see.
fn blocked(report: &TraceReport<'_>) -> Option<Finding> {
    let names = |pair: &PairSimulation| {
        format!("{} from {}", report.speaker(pair.speaker), report.scene[pair.listener].name)
    };
    let blocked: Vec<String> =
        report.trace.pairs.iter().filter(|pair| pair.direct.occluded).map(names).collect();
    (!blocked.is_empty()).then(|| {
        let text = format!("Something stands in the way of {}.", blocked.join(", "));
        Finding::new(Grade::Poor, text)
    })
}

/// How well left and right match, over all seats.
fn sides(report: &TraceReport<'_>) -> Option<Finding> {
    let mut compared = 0;
    let mut apart: Vec<String> = Vec::new();
    for &listener in &report.plan.listeners {
        let here: Vec<&PairSimulation> =
            report.trace.pairs.iter().filter(|pair| pair.listener == listener).collect();
        for pair in pair_asymmetries(report.scene, report.state, &here) {
            compared += 1;
            let at = format!("{} at {}", pair.name, report.scene[listener].name);
            let of = |id| here.iter().copied().find(|traced| traced.speaker == id);
            if let (Some(left), Some(right)) = (of(pair.left), of(pair.right)) {
                let differ = pair_mismatch(left, right, report.units());
                apart.extend(differ.map(|differ| format!("{at}: {differ}")));
            }
            let largest = pair.largest.filter(|most| !is_equal(most.left_louder_db));
            apart.extend(largest.and_then(|most| {
                let louder = if most.left_louder_db > 0.0 { "left" } else { "right" };
                let by = fixed(most.left_louder_db.abs(), 1);
                let path = &of(pair.left)?.reflections.get(most.left)?.arrival.bounces;
                let path = labels::spoken_path(report.scene, path);
                Some(format!(
                    "{at}: the left speaker's reflection off {path} and its mirror image, {by} dB louder \
                     from the {louder}"
                ))
            }));
        }
    }
    let early = time::milliseconds(EARLY_S, 0);
    match (compared, apart.as_slice()) {
        (0, _) => None,
        (_, []) => Some(Finding::new(
            Grade::Good,
            format!("Left and right match: distances, and reflections of the first {early}."),
        )),
        (_, [first, rest @ ..]) => {
            let more = match rest.len() {
                0 => String::new(),
                more => format!("; {more} more in --full and `earline compare`"),
            };
            Some(Finding::new(Grade::Fair, format!("Left and right differ: {first}{more}.")))
        }
    }
}
