//! What a search found on one screen, and which layouts to try first.

use super::document::next;
use super::{LAYOUT_TERMS, PlacementView, TERMS};
use crate::content::document::{Cell, Column, Document, Finding, Grade, Table};
use crate::content::safety_notes::MOVING;
use crate::format::number::{MISSING, fixed, signed};
use crate::format::{frequency, length, time};
use earline_engine::explore::placement::{
    BASS_HZ, EvaluatedLayout, PARAMETERS, PERTURBATION_M, Parameter,
};
use std::path::Path;

/// Layouts shown.
const SHOWN: usize = 3;
/// A layout is clearly better from so much on, decibels of the score: our choice.
const CLEAR_DB: f64 = 0.5;
/// Less than this is shown as nought, decibels.
const NOUGHT_DB: f64 = 0.05;

/// The answer on one screen.
pub(crate) fn brief(view: &PlacementView<'_>, folder: &Path) -> Document {
    let mut document = Document::of_scene(view.scene, view.state);
    document.paragraph(format!("{} {}", view.searched(), listeners(view)));
    let better = clearly_better(view);
    document.verdict(present(view).into_iter().chain([search(view, better)]));
    document.heading("Try first");
    if better == 0 {
        document.note("Nothing: leave seat and speakers where they are.");
    }
    document.numbered(view.found.best.iter().take(better).map(|one| layout(view, one)));
    document.heading("Lengths, and scores in dB (less is better)");
    let shown = SHOWN.min(view.found.best.len());
    document.widths(
        (1..=shown).rev().flat_map(|layouts| [0, 1].map(|heads| table(view, layouts, heads))),
    );
    document.note(weights(view));
    document.pause();
    if 0 < better {
        document.caution([MOVING.to_owned()]);
        document.paragraph(next(folder));
    }
    document.paragraph(
        "A starting point to experiment from: try one, measure and listen; `--full` shows all layouts, \
         each seat, what was free and what every score means.",
    );
    document
}

fn listeners(view: &PlacementView<'_>) -> String {
    let names: Vec<&str> =
        view.plan.listeners.iter().map(|&id| view.scene[id].name.as_str()).collect();
    match names.as_slice() {
        [only] => format!("Seat: {only}."),
        several => format!("Scores are the mean of {}.", several.join(" and ")),
    }
}

/// How many of those shown are clearly better than what is there: by more than our own measure, and than what a
/// length that is a little off takes away.
fn clearly_better(view: &PlacementView<'_>) -> usize {
    let found = view.found;
    let Ok(start) = &found.start else { return SHOWN.min(found.best.len()) };
    let is_better = |(one, sensitivity_db): &(&EvaluatedLayout, f64)| {
        let gain_db = start.objective.cost_db - one.objective.cost_db;
        CLEAR_DB.max(*sensitivity_db) <= gain_db
    };
    let slips = found.sensitivities_db.iter().copied();
    found.best.iter().zip(slips).take(SHOWN).take_while(is_better).count()
}

/// The terms of what is there now against the limit.
fn present(view: &PlacementView<'_>) -> Vec<Finding> {
    let start = match &view.found.start {
        Ok(start) => &start.objective,
        Err(why) => {
            let text = format!("The present layout could not be judged: {why}.");
            return vec![Finding::new(Grade::Poor, text)];
        }
    };
    let (limit, early_db) = (view.plan.limit, start.early_db());
    let window = time::milliseconds(limit.window_s(), 0);
    let early = if early_db < NOUGHT_DB {
        let text =
            format!("At present no reflection of the first {window} is over {}.", limit.document);
        Finding::new(Grade::Good, text)
    } else {
        let text = format!(
            "At present reflections of the first {window} are {} dB over {}, taken together.",
            fixed(early_db, 1),
            limit.document,
        );
        Finding::new(Grade::Poor, text)
    };
    let sides_db = start.asymmetry_db();
    let sides = if sides_db < NOUGHT_DB {
        Finding::new(Grade::Good, "At present left and right are equal (0.0 dB).")
    } else {
        let text = format!(
            "At present left and right differ by {} dB; less is better.",
            fixed(sides_db, 1)
        );
        Finding::new(Grade::Fair, text)
    };
    let bass = format!(
        "At present the bass is uneven by {} dB from {}; less is better.",
        fixed(start.bass_db(), 1),
        frequency::range(BASS_HZ[0], BASS_HZ[1]),
    );
    vec![early, sides, Finding::new(Grade::Fair, bass)]
}

/// What the search is good for.
fn search(view: &PlacementView<'_>, better: usize) -> Finding {
    let (found, score) = (view.found, |one: &EvaluatedLayout| one.objective.cost_db);
    let best_db = found.best.first().map_or(0.0, score);
    let text = match &found.start {
        Err(_) => format!("The best layout found has a score of {} dB.", fixed(best_db, 1)),
        Ok(start) => {
            let [now, best] = [score(start), best_db].map(|db| fixed(db, 1));
            if 0 < better {
                format!("The search found clearly better: a score of {best} dB instead of {now}.")
            } else {
                let text = "The search found nothing clearly better";
                let scores = format!("a score of {best} dB, {now} now");
                return Finding::new(Grade::Good, format!("{text}: {scores}."));
            }
        }
    };
    Finding::new(Grade::Fair, text)
}

/// A layout with what it gains and what it costs.
fn layout(view: &PlacementView<'_>, one: &EvaluatedLayout) -> String {
    let mark = |parameter| view.mark(&one.layout, parameter);
    let lengths = format!(
        "Seat {} from front wall, base {}, speakers {} up",
        mark(Parameter::Seat),
        mark(Parameter::Base),
        mark(Parameter::Up),
    );
    let Some([better, worse]) = view.changes(one, &LAYOUT_TERMS) else {
        return format!("{lengths}.");
    };
    let worse =
        if worse.is_empty() { String::new() } else { format!("; but {}", worse.join(", ")) };
    format!("{lengths}: {}{worse}.", better.join(", "))
}

/// Now and so many of the best side by side, under longer or shorter heads.
fn table(view: &PlacementView<'_>, layouts: usize, heads: usize) -> Table {
    let found = view.found;
    let best = &found.best[..layouts.min(found.best.len())];
    let shown: Vec<&EvaluatedLayout> = found.start.iter().chain(best).collect();
    let mut columns = vec![Column::left("")];
    columns.extend(found.start.iter().map(|_| Column::right("now")));
    columns.extend((1..=best.len()).map(|number| Column::right(number.to_string())));
    let mut table = Table::new("Layouts", columns);
    let mut row = |head: String, text: &dyn Fn(&EvaluatedLayout) -> String| {
        let cells = shown.iter().map(|one| Cell::plain(text(one)));
        table.row([Cell::plain(head)].into_iter().chain(cells).collect());
    };
    for parameter in PARAMETERS.into_iter().filter(|&parameter| differs(view, parameter)) {
        row(length_heads(parameter)[heads].to_owned(), &|one| view.mark(&one.layout, parameter));
        if parameter == Parameter::Seat {
            row("of the length".to_owned(), &|one| format!("{:.0} %", view.share(&one.layout)));
        }
    }
    for term in TERMS {
        row(term.heads[heads].to_owned(), &|one| fixed((term.of)(one), 1));
    }
    row("Score".to_owned(), &|one| fixed(one.objective.cost_db, 2));
    let slip = length::offset(PERTURBATION_M, view.units());
    let now = found.start.iter().map(|_| MISSING.to_owned());
    let slips = found.sensitivities_db.iter().take(best.len()).map(|db| signed(*db, 1));
    let slip_head = format!("{slip}{}", [" off adds", " off"][heads]);
    let cells = [slip_head].into_iter().chain(now).chain(slips);
    table.row(cells.map(Cell::plain).collect());
    table
}

/// Whether a length is shown: the line of symmetry only where it is searched for.
fn differs(view: &PlacementView<'_>, parameter: Parameter) -> bool {
    parameter != Parameter::Axis || view.plan.bounds.get(parameter).is_free()
}

/// Heads where there is room for words, and where there is less.
fn length_heads(parameter: Parameter) -> [&'static str; 2] {
    match parameter {
        Parameter::Seat => ["Seat to front wall", "Seat to front"],
        Parameter::Base => ["Base", "Base"],
        Parameter::Front => ["Speakers to front", "Pair to front"],
        Parameter::Up => ["Speakers up", "Speakers up"],
        Parameter::Converge => ["Axes cross behind", "Axes behind"],
        Parameter::Axis => ["Middle to left wall", "Middle to left"],
    }
}

/// What the score is made of.
fn weights(view: &PlacementView<'_>) -> String {
    let terms = TERMS.iter().zip(view.weights());
    let parts = terms.map(|(term, weight)| format!("{} × {weight}", term.name));
    format!("Score: {}.", parts.collect::<Vec<_>>().join(", "))
}
