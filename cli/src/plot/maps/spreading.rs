//! Spreading of a speaker's sound in the room: its energy from above at six moments.

use crate::canvas::{Canvas, Drawing, Point, Rect, Text, Weight, typeface};
use crate::plot::colormap::{BAR, Colormap, fill_cells};
use crate::plot::data::input::Input;
use crate::plot::data::spreading_view::{Moment, Spreading};
use crate::plot::palette::{self, line};
use crate::plot::room::projection::{Side, View};
use crate::plot::room::{elements, symbol};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::ordinate::WALL;
use crate::plot::sheet::{drawing_scale, lengths};
use glam::DVec2;

/// Plans beside each other.
const COLUMNS: usize = 3;
/// Width of the words beside a plan.
const WORDS: f64 = 25.0;
/// Lowest level that is told apart, and the step between two colours, decibels.
const LOWEST: f64 = -12.0;
const STEP: f64 = 3.0;
/// Colours, the first for all that is below.
const COLOURS: usize = 8;

/// Lays out the plans.
pub(crate) fn spreading(input: &Input) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 150.0, inner.max.y), ..inner };
    if let Some(spreading) = &input.spreading {
        let name = input.speakers.get(spreading.speaker).map_or("", |s| s.name.as_str());
        let kind = typeface::fit(
            &format!("How the sound of {name} spreads"),
            3.0,
            Weight::Semibold,
            100.0,
        );
        frame::title(&mut canvas, head, input, &kind, "from above");
        let corner = Point::new(inner.max.x - 112.0, inner.min.y);
        let bar = Rect { min: corner, max: corner + DVec2::new(108.0, BAR) };
        let title = "dB; 0 is all that was sent out, spread evenly over the room";
        colormap().bar(&mut canvas, title, bar);
        let space = Rect::new(inner.min.x, inner.min.y + 18.0, inner.max.x, inner.max.y - 5.0);
        plans(&mut canvas, input, spreading, space);
    }
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    let note =
        "Energy over 1–8 kHz between floor and ceiling, as rays carry it, during one millisecond.";
    canvas
        .text(Text::new(note, Point::new(inner.max.x, inner.max.y), 2.3).secondary().anchor_end());
    Drawing {
        name: "spreading",
        title: format!("{}: how sound spreads, from above", input.title),
        size: frame::SHEET,
        paper: frame::paper(input.units),
        items: canvas.items,
    }
}

fn plans(canvas: &mut Canvas, input: &Input, spreading: &Spreading, space: Rect) {
    let rows = spreading.moments.len().div_ceil(COLUMNS).max(1);
    let size = space.size() / DVec2::new(COLUMNS as f64, rows as f64);
    let around = DVec2::new(2.0 * WALL + WORDS, 2.0 * WALL + 3.0);
    let scale = drawing_scale::fitting(Side::Plan.size_m(input.room), size - around, input.units);
    for (index, moment) in spreading.moments.iter().enumerate() {
        let place = DVec2::new((index % COLUMNS) as f64, (index / COLUMNS) as f64);
        let min = space.min + size * place;
        let cell = Rect { min, max: min + size - DVec2::new(WORDS, 0.0) };
        let view = View::new(Side::Plan, input.room, scale.mm_per_m, cell);
        plan(canvas, input, spreading, moment, &view);
    }
}

fn plan(canvas: &mut Canvas, input: &Input, spreading: &Spreading, moment: &Moment, view: &View) {
    elements::walls(canvas, view, &Default::default());
    energy(canvas, spreading.cells, moment, view.inside);
    for piece in &input.furniture {
        let mut outline = elements::furniture_outline(view, piece);
        outline.extend(outline.first().copied());
        canvas.polyline(outline, line(palette::INK, 0.15));
    }
    for panel in &input.panels {
        elements::panel(canvas, view, input.room, panel, panel.absorbs);
    }
    if let Some(speaker) = input.speakers.get(spreading.speaker) {
        symbol::speaker(canvas, view, speaker, palette::speaker(spreading.speaker));
    }
    symbol::head(canvas, view, &input.listener);
    canvas.rect(view.inside, None, Some(line(palette::INK, 0.3)));
    let beside = Point::new(view.inside.max.x + WALL + 3.0, view.inside.min.y + 3.0);
    canvas.text(Text::new(format!("{:.0} ms", moment.time_ms), beside, 5.0).semibold());
    let reach = lengths::written(moment.reach_m, input.units);
    let left = (100.0 * moment.left).round();
    let says = [
        "sound has come".to_owned(),
        reach,
        String::new(),
        format!("{left} % of the"),
        "energy is left".to_owned(),
    ];
    for (index, says) in says.into_iter().enumerate() {
        let at = beside + DVec2::Y * (5.5 + 3.6 * index as f64);
        canvas.text(Text::new(says, at, 2.6).secondary());
    }
}

/// Fills the floor; the palest colour is left to paper.
fn energy(canvas: &mut Canvas, [rows, columns]: [usize; 2], moment: &Moment, inside: Rect) {
    let colormap = colormap();
    let level = |row: usize, column: usize| moment.level_db.get(row * columns + column).copied();
    let seen = |level_db: &f64| LOWEST <= *level_db;
    fill_cells(canvas, inside, [rows, columns], |row, column| {
        level(row, column).filter(seen).map(|level_db| colormap.colour(level_db))
    });
}

fn colormap() -> Colormap {
    Colormap::energy(LOWEST, STEP, COLOURS)
}
