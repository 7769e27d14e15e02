//! How the room does at the seats of a trace.

use super::seat::SeatReflections;
use super::{TraceReport, decay};
use crate::content::criterion::early_limit_in_short;
use crate::content::document::{Finding, Grade};
use crate::content::mismatch::pair_mismatch;
use crate::format::number::fixed;
use crate::format::{labels, level, time};
use earline_engine::analysis::compare::{EARLY_S, is_equal, pair_asymmetries};
use earline_engine::simulate::PairSimulation;

/// All that is judged.
#[derive(Debug, Clone)]
pub(crate) struct RoomVerdict {
    /// Early reflections at every seat against the limit.
    pub(crate) early: Finding,
    /// Speakers that a seat does not see, where there are any.
    pub(crate) blocked: Option<Finding>,
    /// The decay against the recommendation, where rays were followed.
    pub(crate) decay: Option<Finding>,
    /// Left against right, where there is a pair.
    pub(crate) sides: Option<Finding>,
}

impl RoomVerdict {
    /// The verdict on what arrives at these seats of a trace.
    pub(crate) fn new(report: &TraceReport<'_>, seats: &[SeatReflections<'_>]) -> Self {
        Self {
            early: early(report, seats),
            blocked: blocked(report),
            decay: decay::finding(report),
            sides: sides(report),
        }
    }

    /// All findings, in the order of telling.
    pub(crate) fn findings(self) -> Vec<Finding> {
        let rest = [self.blocked, self.decay, self.sides];
        std::iter::once(self.early).chain(rest.into_iter().flatten()).collect()
    }
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
                1 => "; 1 more such difference".to_owned(),
                more => format!("; {more} more such differences"),
            };
            Some(Finding::new(Grade::Fair, format!("Left and right differ: {first}{more}.")))
        }
    }
}
