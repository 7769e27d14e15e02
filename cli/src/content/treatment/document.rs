//! What to buy first, in words and tables.

use super::{TreatmentView, describe_surfaces, places, what};
use crate::content::criterion::early_limit;
use crate::content::document::{Cell, Column, Document, Table};
use crate::content::low_end;
use crate::content::safety_notes::cautions;
use crate::format::{foreign, labels, level};
use earline_engine::analysis::compare::EQUAL_DB;
use earline_engine::explore::treatment::{
    BEFORE, DIMINISHED_SHARE, LEAST_GAIN_DB, Outcome, SeatOutcome, Step,
};
use earline_engine::scene::ListenerId;
use std::path::Path;

/// The whole answer, every line within `width`.
pub(crate) fn document(view: &TreatmentView<'_>, scene_file: &Path) -> Document {
    let mut document = head(view);
    document.paragraph(asked(view));
    document.paragraph(on_offer(view));
    if view.treatment.steps.is_empty() {
        document.pause();
        document.paragraph(nothing(view));
    } else {
        document.heading("What to buy, in this order");
        document.table(order(view));
        document.note(worth(view));
        document.append(proof(view));
        document.append(places::places(view));
        document.append(places::builds(view));
        document.append(bass(view));
    }
    document.append(left(view));
    if !view.treatment.steps.is_empty() {
        document.heading("Take care");
        document.caution(cautions(view));
        document.pause();
        document.paragraph(closing(scene_file));
    }
    document.pause();
    document.paragraph(early_limit(view.plan.limit));
    document
}

/// The bass before and after.
fn bass(view: &TreatmentView<'_>) -> Document {
    let variants: Vec<_> = view.low_ends.iter().map(|(name, found)| (*name, found)).collect();
    low_end::document(&variants, &|id| view.asked[id].name.as_str())
}

/// The title.
pub(super) fn head(view: &TreatmentView<'_>) -> Document {
    let scene = view.asked;
    scene
        .variant(view.variant)
        .map_or_else(Document::default, |state| Document::of_scene(scene, &state))
}

/// Whom it is for: `For left, right at chair.`
pub(super) fn whom(view: &TreatmentView<'_>) -> String {
    let scene = view.asked;
    let names = |all: Vec<&str>| all.join(", ");
    let speakers = view.plan.speakers.iter().map(|&id| scene[id].name.as_str());
    let listeners = view.plan.listeners.iter().map(|&id| scene[id].name.as_str());
    format!("For {} at {}.", names(speakers.collect()), names(listeners.collect()))
}

/// Whom it is for, and by what measure.
fn asked(view: &TreatmentView<'_>) -> String {
    let together = if view.treatment.mirrored {
        " Speakers and seats mirror each other, so what goes up at the left goes up at the right."
    } else {
        ""
    };
    format!(
        "{} Each of them counts the same. {} places were tried by tracing the room with the piece in \
         it.{together}",
        whom(view),
        view.treatment.tried,
    )
}

fn on_offer(view: &TreatmentView<'_>) -> String {
    let offers = &view.treatment.products;
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

/// Why nothing is bought.
pub(super) fn nothing(view: &TreatmentView<'_>) -> String {
    let before = view.treatment.before.score.over_db;
    format!(
        "Nothing on offer is worth buying for this: at no place does a piece lower the score by \
         {LEAST_GAIN_DB} dB (it is {before:.1} dB now). What is left may come off the floor, the desk or \
         a place that must stay clear."
    )
}

/// The purchase order.
fn order(view: &TreatmentView<'_>) -> Table {
    let treatment = view.treatment;
    let rate = if treatment.by_cost { "per 100" } else { "per m²" };
    let mut heads = vec![
        Column::right(""),
        Column::right("gain dB"),
        Column::right("a piece"),
        Column::right(rate),
    ];
    let has_cost = treatment.steps.iter().any(|step| step.cost.is_some());
    if has_cost {
        heads.extend([Column::right("cost"), Column::right("so far")]);
    }
    heads.push(Column::left("what, and where"));
    let mut table = Table::new("What to buy, in this order", heads);
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
        cells.push(Cell::plain(format!("{}, {}", what(view, step), describe_surfaces(step))));
        let row = table.row(cells);
        row.notes.extend(taken_down(view, step));
    }
    table
}

/// What a step does most to: `takes main left off ceiling down from -9.5 dB to -28.8 dB at seated`.
pub(super) fn taken_down(view: &TreatmentView<'_>, step: &Step) -> Option<String> {
    let taken = step.most_reduced.as_ref()?;
    let scene = &view.treatment.scene;
    let after = taken.after_db.map_or_else(|| "nothing".to_owned(), level::with_unit);
    Some(format!(
        "does most to {} off {} at {}: {} to {after}",
        scene[taken.speaker].name,
        labels::spoken_path(scene, &taken.before.arrival.bounces),
        scene[taken.listener].name,
        level::with_unit(taken.before.level_db),
    ))
}

/// What gains are held against.
pub(super) fn price(view: &TreatmentView<'_>) -> &'static str {
    if view.treatment.by_cost { "money" } else { "area, as costs are not all known" }
}

/// What is said where the limit is met before anything goes up.
pub(super) fn met(view: &TreatmentView<'_>) -> &'static str {
    if view.treatment.before.seats.iter().all(|seat| seat.over == 0) {
        " Every early reflection is within the limit already; this makes them quieter still."
    } else {
        ""
    }
}

/// What the gain means, and where it begins to be little.
fn worth(view: &TreatmentView<'_>) -> String {
    let treatment = view.treatment;
    let (all, worth) = (treatment.steps.len(), treatment.worthwhile_steps);
    let share = DIMINISHED_SHARE * 100.0;
    let price = price(view);
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
    let met = met(view);
    format!(
        "Gain: decibels over the limit taken away, summed over early reflections, mean over speakers and \
         seats.{met} {point} That share is our choice. The level of one reflection may be off by about \
         {EQUAL_DB} dB in the model: of steps that gain the same, either may come first."
    )
}

/// The strongest early reflection and the score, state by state, seats side by side.
fn proof(view: &TreatmentView<'_>) -> Document {
    let mut document = Document::default();
    let treatment = view.treatment;
    let listeners = &view.plan.listeners;
    let name = |id: &ListenerId| view.asked[*id].name.clone();
    document.heading("The proof of each step");
    let ms = view.plan.limit.window_s() * 1e3;
    let said = format!(
        "Traced to the third order, as `earline compare` does: the strongest reflection in the first \
         {ms:.0} ms, how many are over the limit, and decibels over it."
    );
    document.note(said);
    let states = || {
        std::iter::once((BEFORE.to_owned(), &treatment.before))
            .chain(treatment.steps.iter().map(|step| (step.variant.clone(), &step.outcome)))
    };
    // A few seats stand side by side; more of them one under the other.
    for (chunk_index, chunk) in listeners.chunks(SIDE_BY_SIDE).enumerate() {
        let mut heads = vec![Column::left("state")];
        for seat in chunk {
            heads.push(Column::right(shortened(&name(seat))));
            heads.push(Column::right("over"));
        }
        heads.push(Column::right("dB over, all"));
        let mut table = Table::new("The proof of each step", heads);
        for (state, outcome) in states() {
            let mut cells = vec![Cell::plain(state)];
            let first = chunk_index * SIDE_BY_SIDE;
            for seat in outcome.seats.iter().skip(first).take(chunk.len()) {
                cells.push(Cell::plain(strongest_db(seat)));
                cells.push(Cell::plain(seat.over.to_string()));
            }
            cells.push(Cell::plain(format!("{:.2}", outcome.score.over_db)));
            table.row(cells);
        }
        document.table(table);
    }
    document
}

/// Seats in one table.
const SIDE_BY_SIDE: usize = 2;

/// A name that leaves room for figures.
fn shortened(name: &str) -> String {
    let short: String = name.chars().take(12).collect();
    if short.len() < name.len() { format!("{short}…") } else { short }
}

fn strongest_db(seat: &SeatOutcome) -> String {
    seat.strongest.as_ref().map_or("none".to_owned(), |(_, r)| level::with_unit(r.level_db))
}

/// What is strongest then, and what it comes off: no panel on a wall will take that away.
fn left(view: &TreatmentView<'_>) -> Document {
    let mut document = Document::default();
    let outcome: &Outcome = view.treatment.after();
    let scene = &view.treatment.scene;
    document.heading("What is left");
    document.list(outcome.seats.iter().map(|seat| {
        let name = &scene[seat.listener].name;
        match &seat.strongest {
            Some((speaker, reflection)) => format!(
                "{name}: {} from {} off {}, {:.1} ms after the direct sound; {} over the limit.",
                level::with_unit(reflection.level_db),
                scene[*speaker].name,
                labels::spoken_path(scene, &reflection.arrival.bounces),
                reflection.delay_s * 1e3,
                seat.over,
            ),
            None => format!("{name}: nothing arrives that early."),
        }
    }));
    document
}

fn closing(scene_file: &Path) -> String {
    format!(
        "A starting point to experiment from: hold a piece up where it goes and listen before you drill. The \
         score counts 1 to 8 kHz only; the bass is shown and not part of it. `earline compare \
         \"{}\"` holds before and after against each other.",
        foreign::path(scene_file)
    )
}
