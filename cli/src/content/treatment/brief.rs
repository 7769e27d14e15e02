//! What to buy first, on one screen.

use super::document::{head, met, nothing, price, taken_down, whom};
use super::{TreatmentView, places};
use super::{describe_surfaces, what};
use crate::content::criterion::early_limit_in_short;
use crate::content::document::{Document, Finding, Grade};
use crate::content::low_end::change;
use crate::content::safety_notes::cautions_in_brief;
use crate::content::trace::remedy::{self, BounceKind};
use crate::format::number::shortest;
use crate::format::sentence::capital;
use crate::format::{foreign, labels, level};
use earline_engine::explore::treatment::{SeatOutcome, Step};
use earline_engine::image_source::Bounce;
use earline_engine::scene::{ListenerId, Surface};
use std::path::Path;

/// So many steps are told; the rest is counted.
const STEPS_SHOWN: usize = 3;
/// So many seats are judged one by one.
const SEATS_SHOWN: usize = 2;

/// The answer on one screen.
pub(crate) fn brief(view: &TreatmentView<'_>, scene_file: &Path) -> Document {
    let mut document = head(view);
    document.paragraph(whom(view)).pause();
    document.verdict(findings(view));
    document.heading("Try first");
    if view.treatment.steps.is_empty() {
        document.note(nothing(view)).append(not_mended(view)).pause();
    } else {
        document.append(steps(view));
        document.heading(places::HEADING).items(places::in_brief(view, STEPS_SHOWN));
        document.append(not_mended(view));
        document.heading("Take care").caution(cautions_in_brief(view)).pause();
        let file = foreign::path(scene_file);
        document.paragraph(format!("Next: `earline compare \"{file}\"`"));
    }
    document.paragraph(
        "A starting point to experiment from: hold it up and listen before you drill; `--full` shows each \
         step traced, edges, and what each build absorbs.",
    );
    document
}

fn findings(view: &TreatmentView<'_>) -> Vec<Finding> {
    let treatment = view.treatment;
    let both: Vec<_> = treatment.before.seats.iter().zip(&treatment.after().seats).collect();
    let mut findings: Vec<Finding> = if both.len() <= SEATS_SHOWN {
        // The first names the limit.
        let limits = std::iter::once(limit(view)).chain(std::iter::repeat(String::new()));
        let all = both.iter().zip(limits);
        all.map(|((before, after), limit)| at_seat(view, before, after, &limit)).collect()
    } else {
        vec![at_all_seats(&both, &limit(view))]
    };
    findings.extend(bass(view));
    findings.extend(cost(view));
    findings
}

/// The limit behind the words that speak of it.
fn limit(view: &TreatmentView<'_>) -> String {
    format!(" ({})", early_limit_in_short(view.plan.limit))
}

/// What is over the limit at a seat, before and after.
fn at_seat(
    view: &TreatmentView<'_>,
    before: &SeatOutcome,
    after: &SeatOutcome,
    limit: &str,
) -> Finding {
    let scene = &view.treatment.scene;
    let [was, now] = [before, after].map(|seat| {
        seat.strongest.as_ref().map_or("silent".to_owned(), |(_, r)| level::with_unit(r.level_db))
    });
    let was = if was == now { "as before".to_owned() } else { format!("{was} before") };
    let from = after.strongest.as_ref().map_or_else(String::new, |(_, reflection)| {
        let path = labels::spoken_path(scene, &reflection.arrival.bounces);
        format!(" off {path}")
    });
    let text = format!(
        "{}: {} early reflections over the limit{limit}, {} before; strongest {now}{from} ({was}).",
        scene[after.listener].name, after.over, before.over
    );
    Finding::new(grade(before.over, after.over), text)
}

/// The same of many seats together.
fn at_all_seats(both: &[(&SeatOutcome, &SeatOutcome)], limit: &str) -> Finding {
    let before: usize = both.iter().map(|(before, _)| before.over).sum();
    let after: usize = both.iter().map(|(_, after)| after.over).sum();
    let text = format!(
        "At {} seats {after} early reflections over the limit{limit}, {before} before.",
        both.len()
    );
    Finding::new(grade(before, after), text)
}

fn grade(before: usize, after: usize) -> Grade {
    match after {
        0 => Grade::Good,
        fewer if fewer < before => Grade::Fair,
        _ => Grade::Poor,
    }
}

fn bass(view: &TreatmentView<'_>) -> Option<Finding> {
    let [(_, before), (_, after)] = view.low_ends.as_slice() else { return None };
    let seat = |id: ListenerId| view.asked[id].name.as_str();
    change::finding(&change::changes(before, after), &seat, "before")
}

fn cost(view: &TreatmentView<'_>) -> Option<Finding> {
    let treatment = view.treatment;
    let pieces = view.pieces().count();
    if pieces == 0 {
        return None;
    }
    let pieces = if pieces == 1 { "one piece".to_owned() } else { format!("{pieces} pieces") };
    let text = match treatment.cost() {
        Some(cost) => format!("Costs {} in the scene's currency, for {pieces}.", shortest(cost)),
        None => format!("Takes {pieces}; the scene does not say what they cost."),
    };
    Some(Finding::new(Grade::Fair, text))
}

/// The first steps in the order to buy them.
fn steps(view: &TreatmentView<'_>) -> Document {
    let mut document = Document::default();
    let all = &view.treatment.steps;
    let mut spent = Some(0.0);
    let points = all.iter().take(STEPS_SHOWN).map(|step| {
        spent = spent.zip(step.cost).map(|(so_far, cost)| so_far + cost);
        point(view, step, spent)
    });
    document.numbered(points.collect::<Vec<_>>());
    let more = match all.len().saturating_sub(STEPS_SHOWN) {
        0 => String::new(),
        1 => " One more step with `--full`.".to_owned(),
        more => format!(" {more} more steps with `--full`."),
    };
    document.note(format!(
        "Gain: decibels over the limit taken away, on average; ordered by gain for its {}.{}{more}",
        price(view),
        met(view)
    ));
    document
}

fn point(view: &TreatmentView<'_>, step: &Step, spent: Option<f64>) -> String {
    let spent = spent.map_or_else(String::new, |sum| format!(", {} spent so far", shortest(sum)));
    let most = taken_down(view, step).map_or_else(String::new, |most| format!("; {most}"));
    format!(
        "{}, {}: gains {:.1} dB{spent}{most}.",
        what(view, step),
        describe_surfaces(step),
        step.gain_db
    )
}

/// What stays over the limit, and what else might be tried there.
fn not_mended(view: &TreatmentView<'_>) -> Document {
    let mut document = Document::default();
    let scene = &view.treatment.scene;
    let mut groups: Vec<(BounceKind, &Bounce, Vec<String>)> = Vec::new();
    let seats = view.treatment.after().seats.iter().filter(|seat| 0 < seat.over);
    for seat in seats {
        let Some((_, reflection)) = &seat.strongest else { continue };
        let Some(bounce) = reflection.arrival.bounces.first() else { continue };
        let kind = BounceKind::of(scene, bounce);
        let heard =
            format!("{} at {}", level::with_unit(reflection.level_db), scene[seat.listener].name);
        match groups.iter_mut().find(|(known, _, _)| *known == kind) {
            Some((_, _, all)) => all.push(heard),
            None => groups.push((kind, bounce, vec![heard])),
        }
    }
    if !groups.is_empty() {
        document.heading("What this cannot mend");
    }
    document.list(groups.into_iter().map(|(kind, bounce, heard)| {
        format!(
            "{} ({}): {}",
            capital(&kind.title()),
            heard.join(", "),
            else_to_try(view, &kind, bounce)
        )
    }));
    document
}

/// What the trace would try where that is no absorber on a wall; else why there is none.
fn else_to_try(view: &TreatmentView<'_>, kind: &BounceKind, bounce: &Bounce) -> String {
    match kind {
        BounceKind::SideWalls | BounceKind::PorousPanel(_) | BounceKind::AbsorbingPanel(_) => {
            NO_PIECE.to_owned()
        }
        BounceKind::Bare(surface) if *surface != Surface::Floor => NO_PIECE.to_owned(),
        _ => remedy::words(view.units(), kind, &remedy::place(bounce, view.units())),
    }
}

/// Why a wall that reflects gets nothing more.
const NO_PIECE: &str = "no piece on offer does more where there is room for it.";
