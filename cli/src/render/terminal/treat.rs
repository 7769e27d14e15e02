//! What to buy first, in words and tables.

use super::list::level;
use super::low_end::{self, Low};
use super::{heading, limit, treat_places};
use crate::content::safety_notes::cautions;
use crate::content::treatment::{Treated, what, where_to};
use crate::format::labels;
use crate::io::terminal::{HEADING, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented, item, paragraph};
use earline_engine::analysis::compare::EQUAL_DB;
use earline_engine::explore::treatment::{
    BEFORE, DIMINISHED_SHARE, LEAST_GAIN_DB, Outcome, SeatOutcome, Step,
};
use std::path::Path;

/// The whole answer, every line within `width`.
pub(crate) fn text(treated: &Treated<'_>, scene_file: &Path, width: usize) -> String {
    let name = match treated.variant {
        Some(variant) => format!("{} ({variant})", treated.asked.title()),
        None => treated.asked.title().to_owned(),
    };
    let title = paragraph(&name, width);
    let mut lines: Vec<String> =
        title.iter().map(|line| format!("{HEADING}{line}{HEADING:#}")).collect();
    lines.extend(paragraph(&asked(treated), width));
    lines.extend(paragraph(&on_offer(treated), width));
    if treated.treatment.steps.is_empty() {
        lines.push(String::new());
        lines.extend(paragraph(&nothing(treated), width));
    } else {
        lines.extend(heading("What to buy, in this order"));
        lines.extend(order(treated).lines(width, QUIET));
        lines.extend(indented(&worth(treated), 2, width));
        lines.extend(proof(treated, width));
        lines.extend(treat_places::places(treated, width));
        lines.extend(treat_places::builds(treated, width));
        lines.extend(bass(treated, width));
    }
    lines.extend(left(treated, width));
    if !treated.treatment.steps.is_empty() {
        lines.extend(heading("Take care"));
        lines.extend(cautions(treated).iter().flat_map(|text| item("  - ", text, width)));
        lines.push(String::new());
        lines.extend(paragraph(&closing(scene_file), width));
    }
    lines.push(String::new());
    lines.extend(limit(treated.plan.limit, width));
    lines.push(String::new());
    lines.join("\n")
}

/// What all of it together does to the bass.
fn bass(treated: &Treated<'_>, width: usize) -> Vec<String> {
    let states: Vec<Low<'_>> =
        treated.low_ends.iter().map(|(name, found)| Low { name, found }).collect();
    if states.iter().all(|state| state.found.rows.is_empty()) {
        return Vec::new();
    }
    low_end::lines(&states, &|index| treated.asked.listeners()[index].name.as_str(), width)
}

/// Whom it is for, and by what measure.
fn asked(treated: &Treated<'_>) -> String {
    let scene = treated.asked;
    let names = |all: Vec<&str>| all.join(", ");
    let speakers = treated.plan.speakers.iter().map(|&i| scene.speakers()[i].name.as_str());
    let listeners = treated.plan.listeners.iter().map(|&i| scene.listeners()[i].name.as_str());
    let together = if treated.treatment.mirrored {
        " Speakers and seats mirror each other, so what goes up at the left goes up at the right."
    } else {
        ""
    };
    format!(
        "For {} at {}, all alike. {} places tried by tracing the room with the piece in it.{together}",
        names(speakers.collect()),
        names(listeners.collect()),
        treated.treatment.tried,
    )
}

fn on_offer(treated: &Treated<'_>) -> String {
    let offers = &treated.treatment.products;
    let names: Vec<&str> = offers.all.iter().map(|offer| offer.name.as_str()).collect();
    if offers.generic {
        format!(
            "The scene lists no [[absorber]], so generic builds are on offer, of made-up sizes and \
             without costs: {}.",
            names.join(", ")
        )
    } else {
        format!("On offer: {}.", names.join(", "))
    }
}

fn nothing(treated: &Treated<'_>) -> String {
    let before = treated.treatment.before.score.over_db;
    format!(
        "Nothing on offer is worth buying for this: at no place does a piece lower the score by \
         {LEAST_GAIN_DB} dB (it is {before:.1} dB now). What is left may come off the floor, the desk or \
         a place that must stay clear."
    )
}

/// The purchase order.
fn order(treated: &Treated<'_>) -> Table {
    let treatment = treated.treatment;
    let rate = if treatment.by_cost { "per 100" } else { "per m²" };
    let mut heads = vec![
        ("", Lean::Right),
        ("gain dB", Lean::Right),
        ("a piece", Lean::Right),
        (rate, Lean::Right),
    ];
    let has_cost = treatment.steps.iter().any(|step| step.cost.is_some());
    if has_cost {
        heads.extend([("cost", Lean::Right), ("so far", Lean::Right)]);
    }
    heads.push(("what, and where", Lean::Left));
    let mut table = Table::new(heads);
    let mut spent = Some(0.0);
    for (index, step) in treatment.steps.iter().enumerate() {
        spent = spent.zip(step.cost).map(|(so_far, cost)| so_far + cost);
        let rate = step.rate(treatment.by_cost) * if treatment.by_cost { 100.0 } else { 1.0 };
        let mut cells = vec![
            Cell::plain((index + 1).to_string()),
            Cell::plain(format!("{:.2}", step.gain_db)),
            Cell::plain(format!("{:.2}", step.per_piece_db())),
            Cell::plain(format!("{rate:.2}")),
        ];
        if has_cost {
            let money = |amount: Option<f64>| amount.map_or("?".to_owned(), |a| format!("{a:.0}"));
            cells.extend([Cell::plain(money(step.cost)), Cell::plain(money(spent))]);
        }
        cells.push(Cell::plain(format!("{}, {}", what(treated, step), where_to(step))));
        table.row(cells, taken_down(treated, step).into_iter().collect());
    }
    table
}

/// What a step does most to: `takes main left off ceiling down from -9.5 dB to -28.8 dB at seated`.
fn taken_down(treated: &Treated<'_>, step: &Step) -> Option<String> {
    let taken = step.most_reduced.as_ref()?;
    let scene = &treated.treatment.scene;
    let after = taken.after_db.map_or_else(|| "nothing".to_owned(), level);
    Some(format!(
        "does most to {} off {} at {}: {} to {after}",
        scene.speakers()[taken.speaker].name,
        labels::spoken_path(scene, &taken.before.arrival.bounces),
        scene.listeners()[taken.listener].name,
        level(taken.before.level_db),
    ))
}

/// What the gain means, and where it begins to be little.
fn worth(treated: &Treated<'_>) -> String {
    let treatment = treated.treatment;
    let (all, worth) = (treatment.steps.len(), treatment.worthwhile_steps);
    let share = DIMINISHED_SHARE * 100.0;
    let price = if treatment.by_cost { "money" } else { "area, as costs are not all known" };
    let point = if worth < all {
        let step = worth + 1;
        format!(
            "Returns diminish at step {step}: it gains less than {share:.0} % of what the best step before \
             it does for its {price}."
        )
    } else {
        format!(
            "Every step still gains {share:.0} % or more of what the best step before it does for its {price}."
        )
    };
    let met = if treatment.before.seats.iter().all(|seat| seat.over == 0) {
        " Every early reflection is within the limit already; this makes them quieter still."
    } else {
        ""
    };
    format!(
        "Gain: decibels over the limit taken away, summed over early reflections, mean over speakers and \
         seats.{met} {point} That share is our choice. The level of one reflection may be off by about \
         {EQUAL_DB} dB in the model: of steps that gain alike, either may come first."
    )
}

/// The strongest early reflection and the score, state by state, seats side by side.
fn proof(treated: &Treated<'_>, width: usize) -> Vec<String> {
    let treatment = treated.treatment;
    let listeners = &treated.plan.listeners;
    let name = |index: &usize| treated.asked.listeners()[*index].name.clone();
    let mut lines: Vec<String> = heading("The proof of each step").into();
    let ms = treated.plan.limit.window_s() * 1e3;
    let said = format!(
        "Traced to the third order, as `earline compare` does: the strongest reflection in the first \
         {ms:.0} ms, how many are over the limit, and decibels over it."
    );
    lines.extend(indented(&said, 2, width));
    let states = || {
        std::iter::once((BEFORE.to_owned(), &treatment.before))
            .chain(treatment.steps.iter().map(|step| (step.variant.clone(), &step.outcome)))
    };
    // A few seats stand side by side; more of them one under the other.
    for (chunk_index, chunk) in listeners.chunks(SIDE_BY_SIDE).enumerate() {
        let mut heads = vec![("state".to_owned(), Lean::Left)];
        for seat in chunk {
            heads.push((shortened(&name(seat)), Lean::Right));
            heads.push(("over".to_owned(), Lean::Right));
        }
        heads.push(("dB over, all".to_owned(), Lean::Right));
        let mut table = Table::new(heads);
        for (state, outcome) in states() {
            let mut cells = vec![Cell::plain(state)];
            let first = chunk_index * SIDE_BY_SIDE;
            for seat in outcome.seats.iter().skip(first).take(chunk.len()) {
                cells.push(Cell::plain(strongest_db(seat)));
                cells.push(Cell::plain(seat.over.to_string()));
            }
            cells.push(Cell::plain(format!("{:.2}", outcome.score.over_db)));
            table.row(cells, Vec::new());
        }
        lines.extend(table.lines(width, QUIET));
    }
    lines
}

/// Seats in one table.
const SIDE_BY_SIDE: usize = 2;

/// A name that leaves room for figures.
fn shortened(name: &str) -> String {
    let short: String = name.chars().take(12).collect();
    if short.len() < name.len() { format!("{short}…") } else { short }
}

fn strongest_db(seat: &SeatOutcome) -> String {
    seat.strongest.as_ref().map_or("none".to_owned(), |(_, r)| level(r.level_db))
}

/// What is strongest then, and what it comes off: no panel on a wall will take that away.
fn left(treated: &Treated<'_>, width: usize) -> Vec<String> {
    let outcome: &Outcome = treated.treatment.after();
    let scene = &treated.treatment.scene;
    let mut lines: Vec<String> = heading("What is left").into();
    for seat in &outcome.seats {
        let name = &scene.listeners()[seat.listener].name;
        let text = match &seat.strongest {
            Some((speaker, reflection)) => format!(
                "{name}: {} from {} off {}, {:.1} ms after the direct sound; {} over the limit.",
                level(reflection.level_db),
                scene.speakers()[*speaker].name,
                labels::spoken_path(scene, &reflection.arrival.bounces),
                reflection.delay_s * 1e3,
                seat.over,
            ),
            None => format!("{name}: nothing arrives that early."),
        };
        lines.extend(item("  - ", &text, width));
    }
    lines
}

fn closing(scene_file: &Path) -> String {
    format!(
        "A starting point to experiment from: hold a piece up where it goes and listen before you drill. The \
         score knows 1 to 8 kHz only; the bass is told and not weighed. `earline compare \
         \"{}\"` holds before and after against each other.",
        scene_file.display()
    )
}
