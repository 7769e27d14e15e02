//! A chart of energy against time: curves, arrivals and what a published limit says.

use crate::canvas::{Anchor, Canvas, Dash, Item, Point, Rect, Stroke, Text, Weight, typeface};
use crate::plot::axes::{Axes, Axis, whole};
use crate::plot::data::input::{Input, Path, SpeakerCurve};
use crate::plot::groups;
use crate::plot::palette::{self, dashed, line};
use crate::plot::room::paths as room_paths;
use crate::plot::sheet::badge::Badge;
use crate::plot::sheet::frame::CAPTION;
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::legend;
use earline_engine::metrics::criteria::EarlyLimit;
use glam::DVec2;

/// Lowest levels shown, early and whole.
const FLOORS: [f64; 2] = [-45.0, -60.0];
/// End of the early part and of the whole, milliseconds.
const ENDS: [f64; 2] = [50.0, 500.0];

/// Axes of the first milliseconds.
pub(crate) fn early(space: Rect) -> Axes {
    Axes {
        space,
        across: Axis::linear([-2.0, ENDS[0]]).every(5.0, whole),
        up: Axis::linear([FLOORS[0], 3.0])
            .every(if space.size().y < 60.0 { 10.0 } else { 5.0 }, whole),
    }
}

/// Axes of the whole.
pub(crate) fn late(space: Rect) -> Axes {
    let is_small = space.size().x < 200.0;
    Axes {
        space,
        across: Axis::linear([-20.0, ENDS[1]]).every(if is_small { 100.0 } else { 50.0 }, whole),
        up: Axis::linear([FLOORS[1], 3.0]).every(if is_small { 20.0 } else { 10.0 }, whole),
    }
}

/// Caption, what the marks are, and what is not on the sheet.
pub(crate) fn notes(canvas: &mut Canvas, inner: Rect, more: &str) {
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    let note = format!(
        "Sticks: single arrivals, numbered as on the plan. Lines: expected energy of all arrivals. Faint: with one draw of late noise, as one measurement would show it.{more}"
    );
    canvas.text(
        Text::new(note, Point::new(inner.max.x - 2.0, inner.max.y), 2.3).secondary().anchor_end(),
    );
}

/// The curve's own line: thicker for every other speaker, which has the lighter colour.
pub(crate) fn stroke(speaker: usize) -> Stroke {
    let style = palette::speaker(speaker);
    dashed(style.colour, if speaker.is_multiple_of(2) { 0.28 } else { 0.42 }, style.dash)
}

/// How arrivals are shown in a chart.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Arrivals {
    /// So many of the strongest get their number.
    pub(crate) numbered: usize,
    /// Whether the limit is put into words.
    pub(crate) limit_in_words: bool,
}

/// The chart of some of the speakers, by their places in the input, without its figures.
pub(crate) fn chart(
    canvas: &mut Canvas,
    input: &Input,
    speakers: &[usize],
    axes: &Axes,
    arrivals: Option<Arrivals>,
) {
    let curves: Vec<&SpeakerCurve> =
        input.curves.iter().filter(|curve| speakers.contains(&curve.speaker)).collect();
    let paths: Vec<&Path> =
        input.paths.iter().filter(|path| speakers.contains(&path.speaker)).collect();
    canvas.rect(axes.space, Some(palette::PAPER), None);
    let complete = curves.iter().map(|c| c.complete_ms).fold(f64::INFINITY, f64::min);
    if complete < axes.across.range[1] {
        veil(canvas, axes, complete);
    }
    if let Some(limit) = &input.limit {
        above_limit(canvas, axes, limit);
    }
    axes.grid(canvas);
    let mut inside = Canvas::default();
    if arrivals.is_some() {
        sticks(&mut inside, &curves, &paths, axes);
    }
    for curve in curves.iter().filter(|curve| curve.level_db != curve.expected_db) {
        let faint = line(palette::faint(palette::speaker(curve.speaker).colour), 0.2);
        inside.group(groups::curve(curve.speaker), |inside| {
            inside.polyline(envelope(curve, &curve.level_db, axes, 0.3), faint);
        });
    }
    for curve in &curves {
        let stroke = stroke(curve.speaker);
        // The whole decay is dense: finer lines there.
        let width = if arrivals.is_some() { stroke.width } else { stroke.width * 0.7 };
        inside.group(groups::curve(curve.speaker), |inside| {
            let expected = envelope(curve, &curve.expected_db, axes, 0.2);
            inside.polyline(expected, Stroke { width, ..stroke });
        });
    }
    canvas.items.push(Item::Clipped { to: axes.space, items: inside.items });
    if let Some(limit) = &input.limit {
        limit_line(canvas, axes, limit, arrivals.is_some_and(|shown| shown.limit_in_words));
    }
    if complete < axes.across.range[1] {
        say_incomplete(canvas, axes, complete);
    }
    if let Some(Arrivals { numbered, .. }) = arrivals {
        for curve in &curves {
            let line = envelope(curve, &curve.expected_db, axes, 1.0);
            canvas.lines.extend(line.windows(2).filter_map(|w| <[Point; 2]>::try_from(w).ok()));
        }
        let Rect { min, max } = axes.space;
        canvas.lines.push([min, Point::new(max.x, min.y)]);
        numbers(canvas, paths, numbered, axes);
    }
}

/// Frame, figures and units of a chart of level against time.
pub(crate) fn figures(canvas: &mut Canvas, axes: &Axes) {
    axes.marks(canvas);
    let level = "level over 1–8 kHz, dB (0 at the direct sound)";
    axes.titles(canvas, "milliseconds after the direct sound", level);
    let Rect { min, max } = axes.space;
    canvas.lines.push([min, Point::new(max.x, min.y)]);
}

/// The largest of a curve's levels in each step across the sheet, a point each.
pub(crate) fn envelope(
    curve: &SpeakerCurve,
    level_db: &[f64],
    axes: &Axes,
    step_mm: f64,
) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    let mut bin = f64::NEG_INFINITY;
    for (index, &level) in level_db.iter().enumerate() {
        let time = curve.start_ms + curve.step_ms * index as f64;
        if time < axes.across.range[0] || axes.across.range[1] < time {
            continue;
        }
        // A little below the field, so that the line leaves it instead of running along its edge.
        let level = if level.is_finite() { level } else { f64::MIN };
        let point = axes.at(time, level.max(axes.up.range[0] - 2.0));
        match points.last_mut() {
            Some(last) if point.x < bin + step_mm => last.y = last.y.min(point.y),
            _ => {
                bin = point.x;
                points.push(point);
            }
        }
    }
    points
}

/// A stick for each arrival, fine grey ones for those that are not on the plan, the others dashed
/// like their speaker's lines.
fn sticks(canvas: &mut Canvas, curves: &[&SpeakerCurve], paths: &[&Path], axes: &Axes) {
    for curve in curves {
        let seen = |stick: &&[f64; 2]| {
            0.0 < stick[0] && stick[0] < axes.across.range[1] && axes.up.range[0] < stick[1]
        };
        canvas.group(groups::curve(curve.speaker), |canvas| {
            for &[time, level] in curve.sticks.iter().filter(seen) {
                canvas.polyline(
                    vec![axes.at(time, axes.up.range[0]), axes.at(time, level)],
                    line(palette::STICK, 0.12),
                );
            }
        });
    }
    for path in paths {
        let foot = axes.at(path.after_direct_ms, axes.up.range[0]);
        let tip = axes.at(path.after_direct_ms, path.level_db);
        canvas.group(groups::path(path.tag.clone()), |canvas| {
            canvas.polyline(vec![foot, tip], room_paths::stroke(path.speaker, path.order()));
        });
    }
}

/// Numbers of the strongest arrivals, over the tips of their sticks.
fn numbers(canvas: &mut Canvas, paths: Vec<&Path>, most: usize, axes: &Axes) {
    let inside = |path: &&Path| axes.space.grown(-0.1).holds(dot(axes, path));
    let mut strongest: Vec<&Path> = paths.into_iter().filter(inside).collect();
    strongest.sort_by(|a, b| b.level_db.total_cmp(&a.level_db));
    strongest.truncate(most);
    let mut labels = Labels::default();
    for path in strongest {
        let tip = axes.at(path.after_direct_ms, path.level_db);
        canvas.group(groups::path(path.tag.clone()), |canvas| {
            canvas.circle(
                tip,
                0.55,
                Some(palette::speaker(path.speaker).colour),
                Some(line(palette::PAPER, 0.12)),
            );
        });
        canvas.solid.push(dot(axes, path));
        let tag = Badge { content: path.tag.clone(), ..room_paths::badge(path, 0) };
        labels.badge(tag, tip, 0.6);
    }
    canvas.keep_texts_clear();
    labels.write(canvas, axes.space.grown(-0.3));
}

fn dot(axes: &Axes, path: &Path) -> Rect {
    Rect::around(axes.at(path.after_direct_ms, path.level_db), DVec2::splat(1.1))
}

pub(crate) fn above_limit(canvas: &mut Canvas, axes: &Axes, limit: &EarlyLimit) {
    let corner = axes.at(0.0, axes.up.range[1]);
    let other = axes.at((1e3 * limit.window_s()).min(axes.across.range[1]), limit.level_db());
    let over = Rect { min: corner, max: other };
    canvas.rect(over, Some(palette::VEIL), None);
}

pub(crate) fn limit_line(canvas: &mut Canvas, axes: &Axes, limit: &EarlyLimit, in_words: bool) {
    let end = (1e3 * limit.window_s()).min(axes.across.range[1]);
    let strong = line(palette::OVER, 0.45);
    let points = vec![
        axes.at(0.0, limit.level_db()),
        axes.at(end, limit.level_db()),
        axes.at(end, axes.up.range[1]),
    ];
    canvas.lines.extend(points.windows(2).filter_map(|w| <[Point; 2]>::try_from(w).ok()));
    canvas.polyline(points, strong);
    if in_words {
        let at = axes.at(end, axes.up.range[1]) + DVec2::new(1.8, 3.4);
        let says = format!("early reflections stay under {}", legend::limit_words(limit));
        let says = typeface::fit(&says, 2.4, Weight::Semibold, axes.space.max.x - at.x - 2.0);
        canvas.text(Text::new(says, at, 2.4).semibold().coloured(palette::OVER).haloed());
    }
}

pub(crate) fn veil(canvas: &mut Canvas, axes: &Axes, complete_ms: f64) {
    let min = axes.at(complete_ms.max(axes.across.range[0]), axes.up.range[1]);
    let over = Rect { min, max: axes.space.max };
    canvas.rect(over, Some(palette::VEIL), None);
    canvas.hatch(over, 2.6, line(palette::RULE, 0.12));
}

pub(crate) fn say_incomplete(canvas: &mut Canvas, axes: &Axes, complete_ms: f64) {
    let x = axes.x(complete_ms.max(axes.across.range[0]));
    let ends = vec![Point::new(x, axes.space.min.y), Point::new(x, axes.space.max.y)];
    canvas.polyline(ends, dashed(palette::SECONDARY, 0.25, Dash::Short));
    let says = format!("complete up to {complete_ms:.0} ms; later sound is not all in");
    let room = axes.space.max.x - x - 4.0;
    let size = 2.4;
    // Under the line in which the limit is put into words.
    let y = axes.space.min.y + 7.6;
    let (at, anchor) = if typeface::width(&says, size, Weight::Regular) <= room {
        (Point::new(x + 2.0, y), Anchor::Start)
    } else {
        (Point::new(x - 2.0, y), Anchor::End)
    };
    canvas.text(Text::new(says, at, size).anchored(anchor).secondary().haloed());
}
