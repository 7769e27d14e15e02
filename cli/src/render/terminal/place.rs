//! What a search found, in words.

use super::{heading, title};
use crate::content::placement::{Placed, TERMS};
use crate::content::placement_tolerance::{loudest, tenths};
use crate::io::terminal::QUIET;
use crate::render::columns::{Cell, Lean, Table, indented, item, paragraph};
use earline_engine::explore::placement::{
    BASS_HZ, DIP_HZ, Dip, Evaluated, FADE, PARAMETERS, PERTURBATION_M, Parameter, SeatTerms,
};
use std::path::Path;

/// The whole answer, every line within `width`.
pub(crate) fn text(placed: &Placed<'_>, folder: &Path, width: usize) -> String {
    let mut lines = title(placed.scene, placed.state, width);
    let found = placed.found;
    let stopped = if found.interrupted { "Stopped early; this is the best so far. " } else { "" };
    let about = format!(
        "{stopped}{} layouts of {} were traced and {} turned away, because something was in the way \
         or they left the room. {} {}",
        found.traced,
        placed.pair,
        found.rejected,
        free(placed),
        placed.symmetry(),
    );
    lines.extend(paragraph(&about, width));
    lines.extend(layouts(placed, width));
    lines.extend(worth(placed, width));
    lines.extend(seats(placed, width));
    lines.extend(heading("Against now"));
    for (index, one) in found.best.iter().enumerate() {
        lines.extend(against_start(placed, index, one, width));
    }
    lines.extend(heading("What the figures are"));
    for text in legend(placed) {
        lines.extend(item("  - ", &text, width));
    }
    let best = folder.join(Placed::file(0));
    let next = format!(
        "Next: `earline tape {0}` for the tape, `earline trace {0}` for what arrives there. The best \
         of a search is a starting point to experiment from.",
        best.display()
    );
    lines.push(String::new());
    lines.extend(paragraph(&next, width));
    lines.push(String::new());
    lines.join("\n")
}

/// What was free, in words.
fn free(placed: &Placed<'_>) -> String {
    let bounds = &placed.plan.bounds;
    let follows = |p: Parameter| placed.plan.equilateral && p == Parameter::Front;
    let ranges = PARAMETERS.into_iter().filter(|&p| bounds.get(p).is_free() && !follows(p));
    let ranges: Vec<String> = ranges
        .map(|parameter| {
            let range = bounds.get(parameter);
            let span = crate::format::length::span(range.low_m, range.high_m, placed.units());
            format!("{} {span}", name(parameter))
        })
        .collect();
    let triangle = if placed.plan.equilateral {
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
fn rows<'a>(placed: &Placed<'a>) -> Vec<(String, &'a Evaluated)> {
    let start = placed.found.start.iter().map(|start| ("now".to_owned(), start));
    let best = placed.found.best.iter().enumerate();
    start.chain(best.map(|(index, one)| ((index + 1).to_string(), one))).collect()
}

/// Lengths of a layout after the seat.
const REST: [Parameter; 5] =
    [Parameter::Base, Parameter::Front, Parameter::Up, Parameter::Converge, Parameter::Axis];
const REST_HEADS: [&str; 5] = ["Base", "Front", "Up", "Behind", "Middle"];

fn layouts(placed: &Placed<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("Layouts, best first").into();
    let mut heads = vec![("", Lean::Left), ("Seat", Lean::Right), ("of length", Lean::Right)];
    heads.extend(REST_HEADS.map(|head| (head, Lean::Right)));
    let mut table = Table::new(heads);
    for (name, one) in rows(placed) {
        let mark = |parameter| Cell::plain(placed.mark(&one.layout, parameter));
        let share = Cell::plain(format!("{:.0} %", placed.share(&one.layout)));
        let mut cells = vec![Cell::plain(name), mark(Parameter::Seat), share];
        cells.extend(REST.map(mark));
        table.row(cells, Vec::new());
    }
    if table.width() <= width {
        lines.extend(table.lines(width, QUIET));
    } else {
        lines
            .extend(rows(placed).iter().flat_map(|(name, one)| in_a_row(placed, name, one, width)));
    }
    let text = "Seat and front are from the front wall, base is between the reference points, behind is \
                where the axes cross behind the ears, middle is from the left wall.";
    lines.extend(indented(text, 2, width));
    if let Err(why) = &placed.found.start {
        lines.extend(indented(
            &format!("The present layout could not be judged: {why}."),
            2,
            width,
        ));
    }
    lines
}

/// A layout on a line of its own, where a table is too wide.
fn in_a_row(placed: &Placed<'_>, name: &str, one: &Evaluated, width: usize) -> Vec<String> {
    let mut parts = vec![format!(
        "seat {} ({:.0} %)",
        placed.mark(&one.layout, Parameter::Seat),
        placed.share(&one.layout)
    )];
    parts.extend(REST.into_iter().zip(REST_HEADS).map(|(parameter, head)| {
        format!("{} {}", head.to_lowercase(), placed.mark(&one.layout, parameter))
    }));
    item(&format!("  {name:<4}"), &parts.join(", "), width)
}

/// The objective, term by term.
fn worth(placed: &Placed<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("What they are worth, dB; less is better").into();
    let mut heads = vec![(String::new(), Lean::Left)];
    heads.extend(TERMS.iter().map(|term| (term.name.to_owned(), Lean::Right)));
    heads.push(("Sum".to_owned(), Lean::Right));
    let mut table = Table::new(heads);
    let mut counts = vec![Cell::plain("counts")];
    counts.extend(placed.weights().map(|weight| Cell::plain(format!("× {weight}"))));
    counts.push(Cell::plain(""));
    table.row(counts, Vec::new());
    for (name, one) in rows(placed) {
        let mut cells = vec![Cell::plain(name)];
        cells.extend(TERMS.map(|term| Cell::plain(format!("{:.1}", (term.of)(one)))));
        cells.push(Cell::plain(format!("{:.2}", one.objective.cost_db)));
        table.row(cells, Vec::new());
    }
    lines.extend(table.lines(width, QUIET));
    lines
}

/// The terms of every seat side by side, where there is more than one.
fn seats(placed: &Placed<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("Seat by seat").into();
    let mut table = Table::new(vec![
        ("", Lean::Left),
        ("early", Lean::Right),
        ("sides", Lean::Right),
        ("bass", Lean::Right),
        ("Ears, strongest early reflection, deepest dip of the bass", Lean::Left),
    ]);
    for (name, one) in rows(placed) {
        for seat in &one.objective.seats {
            let terms = [seat.early_db, seat.asymmetry_db, seat.bass_db];
            let mut cells = vec![Cell::plain(name.clone())];
            cells.extend(terms.map(|db| Cell::plain(format!("{db:.1}"))));
            cells.push(Cell::plain(format!("{}; {}", strongest(placed, seat), dip(seat))));
            table.row(cells, Vec::new());
        }
    }
    lines.extend(table.lines(width, QUIET));
    lines
}

fn strongest(placed: &Placed<'_>, seat: &SeatTerms) -> String {
    let scene = placed.scene;
    let name = scene.listeners().get(seat.listener).map_or("", |listener| listener.name.as_str());
    match &seat.strongest {
        None => format!("{name}: none"),
        Some(found) => format!("{name}: {}", loudest(scene, found)),
    }
}

fn against_start(placed: &Placed<'_>, index: usize, one: &Evaluated, width: usize) -> Vec<String> {
    let [better, worse] = placed.against_start(one).unwrap_or_default();
    let part = |what: &str, parts: &[String]| {
        (!parts.is_empty()).then(|| format!("{what}: {}.", parts.join(", ")))
    };
    let mut parts: Vec<String> =
        part("Better", &better).into_iter().chain(part("Worse", &worse)).collect();
    if parts.is_empty() && placed.found.start.is_ok() {
        parts.push("As good as now.".to_owned());
    }
    parts.push(steadiness(placed, index));
    parts.extend(at_ends(placed, one));
    item(&format!("  {} ", index + 1), &parts.join(" "), width)
}

/// What hangs on a few centimetres.
fn steadiness(placed: &Placed<'_>, index: usize) -> String {
    let slip = crate::format::length::offset(PERTURBATION_M, placed.units());
    let slip_db = placed.found.sensitivities_db.get(index).copied().unwrap_or_default();
    if slip_db < 0.05 {
        format!("No length that is {slip} off makes it worse.")
    } else {
        format!("A length that is {slip} off makes it worse by {slip_db:.1} dB at most.")
    }
}

/// Where a range held it.
fn at_ends(placed: &Placed<'_>, one: &Evaluated) -> Option<String> {
    let plan = placed.plan;
    let names: Vec<&str> =
        plan.bounds.at_ends(&one.layout, plan.equilateral).into_iter().map(short_name).collect();
    (!names.is_empty()).then(|| {
        format!("At an end of its range: {}; a wider one may hold better.", names.join(", "))
    })
}

fn dip(seat: &SeatTerms) -> String {
    match seat.dip {
        None => "no dip".to_owned(),
        Some(Dip { hz, level_db, .. }) => format!("{} dB at {hz:.0} Hz", tenths(level_db)),
    }
}

fn legend(placed: &Placed<'_>) -> [String; 5] {
    let limit = placed.plan.limit;
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
            "bass: how uneven both speakers together are from {:.0} to {:.0} Hz (standard deviation), from \
             the wave field of the room with its surfaces and panels, resonances and all. Furniture, \
             screens and cabinets are not in it.",
            BASS_HZ[0], BASS_HZ[1],
        ),
        format!(
            "deepest dip: between {:.0} and {:.0} Hz, of either speaker, from the first reflections of \
             walls, floor and ceiling; against direct sound alone. It is told and not weighed.",
            DIP_HZ[0], DIP_HZ[1],
        ),
        "start: 1 dB for every 25 cm from 38 % of the length, where many people begin, and for every \
         10 cm that the triangle does not close."
            .to_owned(),
    ]
}
