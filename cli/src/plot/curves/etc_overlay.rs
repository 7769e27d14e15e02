//! Energy against time in several states, over each other: one chart for each speaker of a pair.

use crate::canvas::{
    Canvas, Drawing, Item, Outline, Paper, Point, Rect, Stroke, Text, Weight, typeface,
};
use crate::plot::axes::{Axes, Axis, whole};
use crate::plot::curves::energy_time_chart::{
    above_limit, envelope, figures, limit_line, say_incomplete, veil,
};
use crate::plot::curves::energy_time_groups::groups_of_two;
use crate::plot::data::from_compared::{ShownState, in_common};
use crate::plot::data::input::{Input, Path, SpeakerCurve};
use crate::plot::palette::{self, line};
use crate::plot::room::paths;
use crate::plot::sheet::badge::Badge;
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::legend;
use glam::DVec2;

/// Lowest level shown.
const FLOOR: f64 = -45.0;
/// End of the charts, milliseconds after the direct sound.
const END: f64 = 50.0;
/// Charts on the sheet, one for each of the first speakers, and those below each other in a column.
const CHARTS: usize = 6;
const ROWS: usize = 2;
/// States that can be told apart.
const STATES: usize = 4;
/// Number of arrivals that get their number.
const NUMBERED: usize = 10;
/// An arrival moves so far on paper before its way is drawn, millimetres.
const WORTH_DRAWING: f64 = 2.0;

/// Lays out the curves.
pub(crate) fn overlay(shown: &[ShownState]) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    let mut drawing = Drawing {
        name: "compare-energy-time",
        title: "Energy against time, compared".to_owned(),
        size: frame::SHEET,
        paper: Paper::AsDrawn,
        items: Vec::new(),
    };
    if let Some(common) = in_common(shown) {
        let head = Rect { max: DVec2::new(inner.min.x + 150.0, inner.max.y), ..inner };
        let places = groups_of_two(&common).concat();
        let charts = places.len().min(CHARTS);
        let is_many = ROWS < charts;
        let level =
            if is_many { "dB over 1–8 kHz (0 at the direct sound)" } else { "at the seat" };
        frame::title(&mut canvas, head, &common, "Energy against time, compared", level);
        states(&mut canvas, shown, inner);
        drawing.paper = frame::paper(common.units);
        drawing.title = format!("{}: energy against time, compared", common.title);
        // Many charts in two columns: a pair beside each other.
        let columns = if is_many { 2 } else { 1 };
        let cell = DVec2::new(
            inner.size().x / columns as f64,
            (inner.max.y - 7.0 - 30.0) / charts.div_ceil(columns).max(1) as f64,
        );
        for (index, &speaker) in places.iter().take(charts).enumerate() {
            let place = DVec2::new((index % columns) as f64, (index / columns) as f64);
            let min = Point::new(inner.min.x, 30.0) + cell * place;
            let left = min.x + if is_many { 8.0 } else { 14.0 };
            let (right, step) = (min.x + cell.x - 2.0, if is_many { 10.0 } else { 5.0 });
            let axes = Axes {
                space: Rect::new(left, min.y + 6.0, right, min.y + cell.y - 7.0),
                across: Axis::linear([-2.0, END]).every(step, whole),
                up: Axis::linear([FLOOR, 3.0]).every(step, whole),
            };
            let name = &common.speakers[speaker].name;
            let name = typeface::fit(name, 2.8, Weight::Semibold, axes.space.size().x);
            canvas.text(Text::new(name, Point::new(left, min.y + 4.2), 2.8).semibold());
            chart(&mut canvas, shown, &common, speaker, &axes, [index == 0, is_many]);
        }
        notes(&mut canvas, shown, common.speakers.len() - charts, inner);
    }
    drawing.items = canvas.items;
    drawing
}

/// The line of a state; the first is a grey field instead.
fn stroke(state: usize) -> Stroke {
    let of_state = palette::state(state);
    // Curves are dense here: finer lines.
    let width = if state == 0 { 0.25 } else { of_state.width * 0.75 };
    Stroke { width, ..of_state }
}

fn states(canvas: &mut Canvas, shown: &[ShownState], inner: Rect) {
    let left = inner.min + DVec2::new(158.0, 2.0);
    for (index, state) in shown.iter().enumerate().take(STATES) {
        let at = left + DVec2::Y * (legend::ROW * 1.1 * index as f64);
        if index == 0 {
            let field = Rect::around(at + DVec2::X * 6.0, DVec2::new(12.0, 2.6));
            canvas.rect(field, Some(palette::RULE), Some(stroke(0)));
        } else {
            canvas.sample(at, 12.0, stroke(index));
        }
        let name = typeface::fit(&state.name, 2.5, Weight::Semibold, inner.max.x - at.x - 15.0);
        canvas.text(Text::new(name, at + DVec2::X * 14.0, 2.5).semibold().middle_baseline());
    }
}

/// Explanations of the marks, and notes on what is not on the sheet.
fn notes(canvas: &mut Canvas, shown: &[ShownState], more_speakers: usize, inner: Rect) {
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    let mut says = Vec::new();
    if let [first, second] = shown {
        says.push(format!(
            "numbered: first bounces that change most, open dot {}, full dot {}",
            first.name, second.name
        ));
    }
    if STATES < shown.len() {
        says.push(format!("{} more states are in comparison.csv", shown.len() - STATES));
    }
    if more_speakers > 0 {
        says.push(format!("{more_speakers} more speakers are in comparison.csv"));
    }
    let says = typeface::fit(&says.join("; "), 2.3, Weight::Regular, inner.size().x - 60.0);
    let at = Point::new(inner.max.x - 2.0, inner.max.y);
    canvas.text(Text::new(says, at, 2.3).secondary().anchor_end());
}

fn chart(
    canvas: &mut Canvas,
    shown: &[ShownState],
    common: &Input,
    speaker: usize,
    axes: &Axes,
    [is_first, is_small]: [bool; 2],
) {
    let curves: Vec<&SpeakerCurve> = shown
        .iter()
        .take(STATES)
        .filter_map(|state| state.input.curves.iter().find(|curve| curve.speaker == speaker))
        .collect();
    canvas.rect(axes.space, Some(palette::PAPER), None);
    let complete = curves.iter().map(|c| c.complete_ms).fold(f64::INFINITY, f64::min);
    if complete < axes.across.range[1] {
        veil(canvas, axes, complete);
    }
    if let Some(limit) = &common.limit {
        above_limit(canvas, axes, limit);
    }
    let mut inside = Canvas::default();
    if let Some(first) = curves.first() {
        field(&mut inside, first, axes);
    }
    canvas.items.push(Item::Clipped { to: axes.space, items: inside.items });
    axes.grid(canvas);
    let mut inside = Canvas::default();
    for (index, curve) in curves.iter().enumerate() {
        let points = envelope(curve, &curve.expected_db, axes, 0.2);
        canvas.lines.extend(points.windows(2).filter_map(|w| <[Point; 2]>::try_from(w).ok()));
        inside.polyline(points, stroke(index));
    }
    canvas.items.push(Item::Clipped { to: axes.space, items: inside.items });
    if let Some(limit) = &common.limit {
        limit_line(canvas, axes, limit, is_first);
    }
    if complete < axes.across.range[1] {
        say_incomplete(canvas, axes, complete);
    }
    if is_small {
        axes.marks(canvas);
        axes.titles(canvas, "milliseconds after the direct sound", "");
    } else {
        figures(canvas, axes);
    }
    if let [first, second] = shown {
        moves(canvas, [&first.input, &second.input], speaker, axes);
    }
}

/// The area under a curve.
fn field(canvas: &mut Canvas, curve: &SpeakerCurve, axes: &Axes) {
    let mut points = envelope(curve, &curve.expected_db, axes, 0.2);
    if let [first, .., last] = points.as_slice() {
        let floor = axes.space.max.y + 1.0;
        let corners = [Point::new(last.x, floor), Point::new(first.x, floor)];
        points.extend(corners);
        canvas.shape(Outline::Polygon(points), Some(palette::RULE), None);
    }
}

/// First bounces that move most from one state to the other: an open dot, the way, a full dot.
fn moves(canvas: &mut Canvas, states: [&Input; 2], speaker: usize, axes: &Axes) {
    let of = |input: &Input, tag: &str| {
        let same = |path: &&Path| path.tag == tag && path.speaker == speaker;
        input.paths.iter().find(same).map(|path| axes.at(path.after_direct_ms, path.level_db))
    };
    let all = states[1]
        .paths
        .iter()
        .chain(states[0].paths.iter().filter(|path| of(states[1], &path.tag).is_none()));
    let mut moved: Vec<(&Path, [Option<Point>; 2], f64)> = all
        .filter(|path| path.speaker == speaker && path.order() == 1)
        .map(|path| {
            let ends = states.map(|input| of(input, &path.tag));
            let far = match ends {
                [Some(a), Some(b)] => a.distance(b),
                _ => f64::INFINITY,
            };
            (path, ends, far)
        })
        .filter(|(_, ends, far)| {
            let is_seen = |at: &Point| axes.space.grown(-0.8).holds(Rect::around(*at, DVec2::ONE));
            WORTH_DRAWING <= *far && ends.iter().flatten().any(is_seen)
        })
        .collect();
    moved.sort_by(|a, b| b.2.total_cmp(&a.2));
    moved.truncate(NUMBERED);
    let colour = palette::speaker(speaker).colour;
    let mut labels = Labels::default();
    let mut inside = Canvas::default();
    for (path, ends, _) in moved {
        if let [Some(from), Some(to)] = ends {
            inside.polyline(vec![from, to], line(colour, 0.25));
        }
        if let [Some(from), _] = ends {
            inside.circle(from, 0.75, Some(palette::PAPER), Some(line(colour, 0.3)));
        }
        if let [_, Some(to)] = ends {
            inside.circle(to, 0.75, Some(colour), Some(line(palette::PAPER, 0.12)));
        }
        for at in ends.into_iter().flatten() {
            canvas.solid.push(Rect::around(at, DVec2::splat(1.6)));
        }
        let tip = ends.into_iter().flatten().min_by(|a, b| a.y.total_cmp(&b.y));
        if let Some(tip) = tip {
            let tag = Badge { content: path.tag.clone(), ..paths::badge(path, 0) };
            labels.badge(tag, tip, 0.9);
        }
    }
    canvas.items.push(Item::Clipped { to: axes.space, items: inside.items });
    canvas.keep_texts_clear();
    labels.write(canvas, axes.space.grown(-0.3));
}
