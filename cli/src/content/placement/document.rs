//! What a search found, in words.

use super::{PlacementView, TERMS};
use crate::content::document::{Cell, Column, Document, MarkedItem, Table};
use crate::content::placement_tolerance::loudest;
use crate::format::{foreign, length, level};
use earline_engine::explore::placement::{
    BASS_HZ, DIP_HZ, Dip, EvaluatedLayout, FADE, PARAMETERS, PERTURBATION_M, Parameter, SeatTerms,
};
use std::path::Path;

/// The whole answer, every line within `width`.
pub(crate) fn document(view: &PlacementView<'_>, folder: &Path) -> Document {
    let mut document = Document::of_scene(view.scene, view.state);
    let found = view.found;
    let about = format!("{} {} {}", view.searched(), free(view), view.symmetry());
    document.paragraph(about);
    document.append(layouts(view));
    document.append(worth(view));
    document.append(seats(view));
    document.heading("Compared with now");
    document
        .items(found.best.iter().enumerate().map(|(index, one)| against_start(view, index, one)));
    document.heading("What the figures are");
    document.list(legend(view));
    document.pause();
    let start = "The best of a search is a starting point to experiment from.";
    document.paragraph(format!("{} {start}", next(folder)));
    document
}

/// What to run next.
pub(super) fn next(folder: &Path) -> String {
    let best = folder.join(PlacementView::file(0));
    format!(
        "Next: `earline tape {0}` for the tape, `earline trace {0}` for what arrives there.",
        foreign::path(&best)
    )
}

/// What was free, in words.
fn free(view: &PlacementView<'_>) -> String {
    let bounds = &view.plan.bounds;
    let follows = |p: Parameter| view.plan.equilateral && p == Parameter::Front;
    let ranges = PARAMETERS.into_iter().filter(|&p| bounds.get(p).is_free() && !follows(p));
    let ranges: Vec<String> = ranges
        .map(|parameter| {
            let range = bounds.get(parameter);
            let span = length::span(range.low_m, range.high_m, view.units());
            format!("{} {span}", name(parameter))
        })
        .collect();
    let triangle = if view.plan.equilateral {
        "The triangle stays equilateral."
    } else {
        "The triangle may open."
    };
    format!("Free: {}. {triangle}", ranges.join("; "))
}

fn name(parameter: Parameter) -> &'static str {
    match parameter {
        Parameter::Seat => "seat from the front wall",
        Parameter::Base => "base",
        Parameter::Front => "speakers from the front wall",
        Parameter::Up => "speakers up",
        Parameter::Converge => "axes cross behind the ears by",
        Parameter::Axis => "middle from the left wall",
    }
}

/// As it heads a column.
fn short_name(parameter: Parameter) -> &'static str {
    match parameter {
        Parameter::Seat => "seat",
        Parameter::Base => "base",
        Parameter::Front => "front",
        Parameter::Up => "up",
        Parameter::Converge => "behind",
        Parameter::Axis => "middle",
    }
}

/// The present layout, where it can be judged, then the best.
fn rows<'a>(view: &PlacementView<'a>) -> Vec<(String, &'a EvaluatedLayout)> {
    let start = view.found.start.iter().map(|start| ("now".to_owned(), start));
    let best = view.found.best.iter().enumerate();
    start.chain(best.map(|(index, one)| ((index + 1).to_string(), one))).collect()
}

/// Lengths of a layout after the seat.
const REST: [Parameter; 5] =
    [Parameter::Base, Parameter::Front, Parameter::Up, Parameter::Converge, Parameter::Axis];
const REST_HEADS: [&str; 5] = ["Base", "Front", "Up", "Behind", "Middle"];

fn layouts(view: &PlacementView<'_>) -> Document {
    let mut document = Document::default();
    document.heading("Layouts, best first");
    document.widths([layout_table(view, true), layout_table(view, false)]);
    let text = "Seat and front are from the front wall, base is between the reference points, behind is \
                where the axes cross behind the ears, middle is from the left wall.";
    document.note(text);
    if let Err(why) = &view.found.start {
        document.note(format!("The present layout could not be judged: {why}."));
    }
    document
}

/// A row for each layout; its lengths after the seat in columns of their own or under the row.
fn layout_table(view: &PlacementView<'_>, has_lengths: bool) -> Table {
    let mut columns = vec![Column::left(""), Column::right("Seat"), Column::right("of length")];
    if has_lengths {
        columns.extend(REST_HEADS.map(Column::right));
    }
    let mut table = Table::new("Layouts, best first", columns);
    for (name, one) in rows(view) {
        let mark = |parameter| view.mark(&one.layout, parameter);
        let share = format!("{:.0} %", view.share(&one.layout));
        let mut cells = vec![name, mark(Parameter::Seat), share];
        if has_lengths {
            cells.extend(REST.map(mark));
        }
        let row = table.row(cells.into_iter().map(Cell::plain).collect());
        if !has_lengths {
            let lengths = REST.into_iter().zip(REST_HEADS);
            let named = lengths
                .map(|(parameter, head)| format!("{} {}", head.to_lowercase(), mark(parameter)));
            row.note(named.collect::<Vec<_>>().join(", "));
        }
    }
    table
}

/// The objective, term by term.
fn worth(view: &PlacementView<'_>) -> Document {
    let mut document = Document::default();
    document.heading("Scores, dB; less is better");
    let mut heads = vec![Column::left("")];
    heads.extend(TERMS.iter().map(|term| Column::right(term.name.to_owned())));
    heads.push(Column::right("Score"));
    let mut table = Table::new("Scores of the layouts, dB", heads);
    let mut counts = vec![Cell::plain("weight")];
    counts.extend(view.weights().map(|weight| Cell::plain(format!("× {weight}"))));
    counts.push(Cell::plain(""));
    table.row(counts);
    for (name, one) in rows(view) {
        let mut cells = vec![Cell::plain(name)];
        cells.extend(TERMS.map(|term| Cell::plain(format!("{:.1}", (term.of)(one)))));
        cells.push(Cell::plain(format!("{:.2}", one.objective.cost_db)));
        table.row(cells);
    }
    document.table(table);
    document
}

/// The terms of every seat side by side, where there is more than one.
fn seats(view: &PlacementView<'_>) -> Document {
    let mut document = Document::default();
    document.heading("Seat by seat");
    let mut table = Table::new(
        "Seat by seat",
        vec![
            Column::left(""),
            Column::right("early"),
            Column::right("sides"),
            Column::right("bass"),
            Column::left("Ears, strongest early reflection, deepest dip of the bass"),
        ],
    );
    for (name, one) in rows(view) {
        for seat in &one.objective.seats {
            let terms = [seat.early_db, seat.asymmetry_db, seat.bass_db];
            let mut cells = vec![Cell::plain(name.clone())];
            cells.extend(terms.map(|db| Cell::plain(format!("{db:.1}"))));
            cells.push(Cell::plain(format!("{}; {}", strongest(view, seat), dip(seat))));
            table.row(cells);
        }
    }
    document.table(table);
    document
}

fn strongest(view: &PlacementView<'_>, seat: &SeatTerms) -> String {
    let scene = view.scene;
    let name = &scene[seat.listener].name;
    match &seat.strongest {
        None => format!("{name}: none"),
        Some(found) => format!("{name}: {}", loudest(scene, found)),
    }
}

fn against_start(view: &PlacementView<'_>, index: usize, one: &EvaluatedLayout) -> MarkedItem {
    let [better, worse] = view.changes(one, &TERMS).unwrap_or_default();
    let part = |what: &str, parts: &[String]| {
        (!parts.is_empty()).then(|| format!("{what}: {}.", parts.join(", ")))
    };
    let mut parts: Vec<String> =
        part("Better", &better).into_iter().chain(part("Worse", &worse)).collect();
    if parts.is_empty() && view.found.start.is_ok() {
        parts.push("As good as now.".to_owned());
    }
    parts.push(steadiness(view, index));
    parts.extend(at_ends(view, one));
    MarkedItem::new((index + 1).to_string(), parts.join(" "))
}

/// What hangs on a few centimetres.
fn steadiness(view: &PlacementView<'_>, index: usize) -> String {
    let slip = length::offset(PERTURBATION_M, view.units());
    let slip_db = view.found.sensitivities_db.get(index).copied().unwrap_or_default();
    if slip_db < 0.05 {
        format!("No length that is {slip} off adds to the score.")
    } else {
        format!("A length that is {slip} off adds {slip_db:.1} dB to the score at most.")
    }
}

/// Where a range held it.
fn at_ends(view: &PlacementView<'_>, one: &EvaluatedLayout) -> Option<String> {
    let plan = view.plan;
    let names: Vec<&str> =
        plan.bounds.at_ends(&one.layout, plan.equilateral).into_iter().map(short_name).collect();
    (!names.is_empty()).then(|| {
        format!("At an end of its range: {}; a wider one may hold better.", names.join(", "))
    })
}

fn dip(seat: &SeatTerms) -> String {
    match seat.dip {
        None => "no dip".to_owned(),
        Some(Dip { hz, level_db, .. }) => {
            format!("{} dB at {hz:.0} Hz", level::difference(level_db))
        }
    }
}

fn legend(view: &PlacementView<'_>) -> [String; 5] {
    let limit = view.plan.limit;
    [
        format!(
            "early: by how much reflections of the first {:.0} ms are over {} ({:.0} dB below direct sound, \
             1 to 8 kHz), root of the sum of squares; up to {:.0} ms they count in part.",
            limit.window_s() * 1e3,
            limit.document,
            -limit.level_db(),
            limit.window_s() * 1e3 * (1.0 + FADE),
        ),
        "sides: left against right, direct sound and early reflections, and 1 dB for every 50 µs that \
         one comes earlier."
            .to_owned(),
        format!(
            "bass: how uneven both speakers together are from {:.0} to {:.0} Hz (standard deviation), \
             computed from the modes of the room with its surfaces and panels. Furniture, screens and \
             cabinets are left out.",
            BASS_HZ[0], BASS_HZ[1],
        ),
        format!(
            "deepest dip: between {:.0} and {:.0} Hz, of either speaker, from the first reflections of \
             walls, floor and ceiling; against direct sound alone. It is shown and does not count in the score.",
            DIP_HZ[0], DIP_HZ[1],
        ),
        "start: 1 dB for every 25 cm from 38 % of the length, where many people begin, and for every \
         10 cm that the triangle does not close."
            .to_owned(),
    ]
}
