//! The plans of several states side by side at one scale, with the levels of the first bounces.

use crate::canvas::{Canvas, Drawing, Paper, Point, Rect, Text, Weight, typeface};
use crate::plot::data::from_compared::{ShownState, in_common};
use crate::plot::data::input::{Hit, Input, Path};
use crate::plot::palette::{self, line};
use crate::plot::room::level_table::LevelTable;
use crate::plot::room::projection::{Side, View};
use crate::plot::room::{elements, paths, room_view};
use crate::plot::sheet::drawing_scale::{self, DrawingScale};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::legend::Legend;
use crate::plot::sheet::ordinate::WALL;
use crate::plot::sheet::scale_bar::scale_bar;
use glam::DVec2;

/// Height of the title with its lines.
const TITLE: f64 = 17.5;
/// Height of a state's name over its plan.
const NAME: f64 = 5.0;
/// Width that the scale bar with its figures takes at most, beside the title.
const BAR: f64 = 84.0;
/// Width of the legend.
const LEGEND: f64 = 92.0;
/// Least and greatest height of the band of words under the plans.
const BAND: [f64; 2] = [40.0, 62.0];
/// Plans that find a place on the sheet.
const PLANS: usize = 4;
/// From so many speakers on their names are left to the legend.
const MANY_SPEAKERS: usize = 3;

/// Lays out the plans.
pub(crate) fn plans(shown: &[ShownState]) -> Drawing {
    let mut canvas = Canvas::default();
    let frame = frame::frame(&mut canvas);
    let mut drawing = Drawing {
        name: "compare-plans",
        title: "Plans, compared".to_owned(),
        size: frame::SHEET,
        paper: Paper::AsDrawn,
        items: Vec::new(),
    };
    if let Some(common) = in_common(shown) {
        drawing.paper = frame::paper(common.units);
        drawing.title = format!("{}: plans side by side", common.title);
        lay_out(&mut canvas, frame, shown, &common);
    }
    drawing.items = canvas.items;
    drawing
}

fn lay_out(canvas: &mut Canvas, frame: Rect, shown: &[ShownState], common: &Input) {
    let inner = frame.grown(-4.0);
    let first_bounces: Vec<&Path> = common.paths.iter().collect();
    let any_view = View::new(Side::Plan, common.room, 1.0, frame);
    let legend = Legend::new(common, &any_view, &first_bounces, LEGEND);
    let drawn = &shown[..shown.len().min(PLANS)];
    let mut levels = LevelTable::new(drawn, common);
    let wanted = legend.height().max(levels.height(inner.size().x - LEGEND - 8.0)) + 7.0;
    let band = wanted.clamp(BAND[0], BAND[1]);
    let split = frame.max.y - band;
    let below = Rect::new(inner.min.x, split + 2.5, inner.max.x, inner.max.y - 4.5);
    let list = Rect { max: DVec2::new(below.max.x - LEGEND - 8.0, below.max.y), ..below };
    levels.fit(list);
    let space = Rect::new(inner.min.x, inner.min.y + TITLE, inner.max.x, split - 0.5);
    let (cells, scale) = cells(space, drawn.len(), common);
    frame::title(
        canvas,
        Rect { max: DVec2::new(inner.max.x - BAR - 4.0, inner.min.y + TITLE), ..inner },
        common,
        "Plans side by side, from above",
        &frame::on_paper(&scale.name, common.units),
    );
    for (state, cell) in drawn.iter().zip(cells) {
        let paths: Vec<&Path> = state.input.paths.iter().filter(|p| levels.has(p)).collect();
        let view = view(&state.input, cell, &scale);
        one(canvas, state, &paths, &view);
    }
    let corner = Point::new(inner.max.x - BAR, inner.min.y + 5.0);
    scale_bar(canvas, corner, &scale, common.units);
    let ends = vec![Point::new(frame.min.x, split), Point::new(frame.max.x, split)];
    canvas.polyline(ends, line(palette::INK, 0.2));
    levels.draw(canvas, list);
    legend.draw(canvas, Rect { min: DVec2::new(below.max.x - LEGEND, below.min.y), ..below });
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    if drawn.len() < shown.len() {
        let says = format!("and {} more states, in comparison.csv", shown.len() - drawn.len());
        canvas.text(Text::new(says, inner.max, 2.3).secondary().anchor_end());
    }
}

/// A place for each plan, in the rows and columns that allow the largest scale.
fn cells(space: Rect, count: usize, input: &Input) -> (Vec<Rect>, DrawingScale) {
    let at = |columns: usize| {
        let rows = count.div_ceil(columns).max(1);
        let size = space.size() / DVec2::new(columns as f64, rows as f64);
        let around = DVec2::new(2.0 * WALL + 4.0, 2.0 * WALL + NAME + 1.0);
        let scale =
            drawing_scale::fitting(Side::Plan.size_m(input.room), size - around, input.units);
        let cell = |index: usize| {
            let place = DVec2::new((index % columns) as f64, (index / columns) as f64);
            let min = space.min + size * place;
            Rect { min, max: min + size }
        };
        ((0..count).map(cell).collect(), scale)
    };
    let larger = |a: (Vec<Rect>, DrawingScale), b: (Vec<Rect>, DrawingScale)| {
        if b.1.mm_per_m >= a.1.mm_per_m { b } else { a }
    };
    (1..=count.max(1)).map(at).reduce(larger).unwrap_or_else(|| at(1))
}

/// Position of a state's plan in its cell.
fn view(input: &Input, cell: Rect, scale: &DrawingScale) -> View {
    let space = Rect { min: cell.min + DVec2::new(0.0, NAME), ..cell };
    View::new(Side::Plan, input.room, scale.mm_per_m, space)
}

/// One state: its name and its plan.
fn one(canvas: &mut Canvas, state: &ShownState, paths: &[&Path], view: &View) {
    let input = &state.input;
    let mut labels = Labels::default();
    elements::walls(canvas, view, &Default::default());
    room_view::things(canvas, view, input, &mut labels);
    room_view::sound(canvas, view, input, paths, input.speakers.len() < MANY_SPEAKERS, &mut labels);
    // No dimensions here to carry the numbers at the walls.
    for path in paths.iter().filter(|path| paths::at_the_wall(view, path)) {
        for bounce in path.bounces.iter().filter(|b| matches!(b.hit, Hit::Surface(_))) {
            labels.badge(paths::badge(path, 0), view.at(bounce.point), paths::radius(path) + 0.2);
        }
    }
    labels.write(canvas, view.inside.grown(-0.3));
    let name = typeface::fit(&state.name, 3.4, Weight::Semibold, view.inside.size().x);
    let at = Point::new(view.inside.min.x, view.inside.min.y - WALL - 1.6);
    canvas.text(Text::new(name, at, 3.4).semibold());
}
