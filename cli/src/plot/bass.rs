//! The response of the bass at one seat: a chart for each speaker and for each pair together.

use super::border::{self, CAPTION};
use super::canvas::{Canvas, words};
use super::model::{Drawing, Item, Outline, Point, Rect, Shape, Stroke, Weight};
use super::palette::{self, line};
use super::text;
use crate::content::placement_tolerance::tenths;
use crate::content::wave_field::{WaveFieldView, counts};
use earline_engine::wave_field::{BassPair, Cause, Extreme};
use glam::DVec2;

/// Lowest and highest level shown, decibels.
const LEVELS: [f64; 2] = [-36.0, 24.0];
/// Below this the names of dips stand, and curves are cut off there, decibels.
const LOWEST: f64 = -24.0;
/// Between lines of the grid, decibels.
const STEP_DB: f64 = 12.0;
/// Charts below each other.
const MOST: usize = 3;
/// Peaks and dips named in a chart.
const NAMED: usize = 6;
/// Figures on the axis of frequency, hertz.
const FIGURES_HZ: [f64; 13] =
    [10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 150.0, 200.0, 300.0, 400.0];

/// A curve with its spread.
struct Curve<'a> {
    name: String,
    colour: palette::SpeakerStyle,
    level_db: &'a [f64],
    spread_db: &'a [[f64; 2]],
    extremes: &'a [Extreme],
    unevenness_db: Option<f64>,
}

/// Lays out the charts of one listener.
pub(crate) fn bass(sounded: &WaveFieldView<'_>, listener: usize) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = border::frame(&mut canvas).grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 170.0, inner.max.y), ..inner };
    let variant = sounded.state.name.map_or_else(String::new, |name| format!("variant: {name} · "));
    let about = format!("{variant}listener: {}", sounded.listener(listener));
    let title = sounded.scene.title();
    let range = "level re 1 m in the open, dB";
    border::headline(&mut canvas, head, title, "Bass at the seat", range, &[about.clone(), about]);
    let curves = curves(sounded, listener);
    let shown = curves.len().min(MOST);
    let whole = Rect::new(inner.min.x + 9.0, 31.0, inner.max.x - 1.0, inner.max.y - 9.0);
    let high = whole.size().y / shown.max(1) as f64;
    for (index, curve) in curves.iter().take(MOST).enumerate() {
        let top = whole.min.y + high * index as f64;
        let space = Rect::new(whole.min.x, top + 4.5, whole.max.x, top + high - 4.5);
        chart(&mut canvas, sounded, curve, space);
    }
    canvas.text(words(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).quiet());
    let half = border::length(sounded.plan.head_half_m, sounded.scene.units());
    let more = curves.len().saturating_sub(MOST);
    let left = if more > 0 { format!(" {more} more in bass.json.") } else { String::new() };
    let note =
        format!("Bands: the head {half} either way. Cut off below {LOWEST:.0} dB. Hertz.{left}")
            .replace('-', "\u{2212}");
    canvas.text(words(note, Point::new(inner.max.x - 1.0, inner.max.y), 2.3).quiet().ending_here());
    Drawing {
        name: "bass",
        title: format!("{title}: the response of the bass at {}", sounded.listener(listener)),
        size: border::SHEET,
        items: canvas.items,
    }
}

/// Pairs together first, then single speakers.
fn curves<'a>(sounded: &WaveFieldView<'a>, listener: usize) -> Vec<Curve<'a>> {
    let both = sounded.found.together.iter().filter(|both| both.listener == listener);
    let both = both.map(|both| Curve {
        name: format!("both of {}, playing alike", both.name),
        colour: palette::SpeakerStyle { colour: palette::INK, ..palette::speaker(0) },
        level_db: &both.level_db,
        spread_db: &both.spread_db,
        extremes: &[],
        unevenness_db: both.unevenness_db,
    });
    let single = sounded.at(listener).map(|pair: &BassPair| Curve {
        name: sounded.speaker(pair.speaker).to_owned(),
        colour: palette::speaker(pair.speaker),
        level_db: &pair.level_db,
        spread_db: &pair.spread_db,
        extremes: &pair.extremes,
        unevenness_db: pair.unevenness_db,
    });
    both.chain(single).collect()
}

/// Frequencies across and levels up a chart.
pub(super) struct Axes {
    pub(super) space: Rect,
    pub(super) ends_hz: [f64; 2],
}

impl Axes {
    pub(super) fn at(&self, hz: f64, level_db: f64) -> Point {
        let [low, high] = self.ends_hz;
        let across = (hz / low).ln() / (high / low).ln();
        let up = (level_db.clamp(LOWEST, LEVELS[1]) - LEVELS[0]) / (LEVELS[1] - LEVELS[0]);
        Point::new(
            self.space.min.x + across * self.space.size().x,
            self.space.max.y - up * self.space.size().y,
        )
    }
}

fn chart(canvas: &mut Canvas, sounded: &WaveFieldView<'_>, curve: &Curve<'_>, space: Rect) {
    let hz = &sounded.found.hz;
    let ends = [hz.first(), hz.last()].map(|hz| hz.copied().unwrap_or(1.0));
    let axes = Axes { space, ends_hz: [ends[0], ends[1].max(1.01 * ends[0])] };
    grid(canvas, &axes);
    let upper = hz.iter().zip(curve.spread_db).map(|(&hz, [_, most])| axes.at(hz, *most));
    let lower = hz.iter().zip(curve.spread_db).rev().map(|(&hz, [least, _])| axes.at(hz, *least));
    canvas.items.push(Item::Shape(Shape {
        outline: Outline::Polygon(upper.chain(lower).collect()),
        fill: Some(palette::faint(curve.colour.colour)),
        stroke: None,
    }));
    let points = hz.iter().zip(curve.level_db).map(|(&hz, &db)| axes.at(hz, db)).collect();
    canvas.polyline(points, Stroke { width: 0.45, ..line(curve.colour.colour, 0.45) });
    schroeder(canvas, sounded, &axes);
    canvas.rect(space, None, Some(line(palette::INK, 0.25)));
    let name = text::fit(&curve.name, 2.8, Weight::Semibold, 90.0);
    let at = Point::new(space.min.x, space.min.y - 1.4);
    let after = at.x + text::width(&name, 2.8, Weight::Semibold) + 3.0;
    canvas.text(words(name, at, 2.8).strong().coloured(curve.colour.colour));
    if let Some(db) = curve.unevenness_db {
        let says = format!("unevenness {db:.1} dB from 30 to 200 Hz");
        canvas.text(words(says, Point::new(after, at.y), 2.4).quiet());
    }
    causes(canvas, curve, &axes);
}

pub(super) fn grid(canvas: &mut Canvas, axes: &Axes) {
    let Rect { min, max } = axes.space;
    let [low, high] = axes.ends_hz;
    for hz in FIGURES_HZ.into_iter().filter(|hz| (low..=high).contains(hz)) {
        let x = axes.at(hz, 0.0).x;
        canvas
            .polyline(vec![Point::new(x, min.y), Point::new(x, max.y)], line(palette::RULE, 0.12));
        canvas.text(words(format!("{hz:.0}"), Point::new(x, max.y + 3.2), 2.2).centred());
    }
    let mut level = LOWEST;
    while level <= LEVELS[1] {
        let y = axes.at(low, level).y;
        let width = if level.abs() < 0.5 { 0.25 } else { 0.12 };
        canvas
            .polyline(vec![Point::new(min.x, y), Point::new(max.x, y)], line(palette::RULE, width));
        let figure = format!("{level:+.0}").replace('-', "\u{2212}");
        let figure = if level.abs() < 0.5 { "0".to_owned() } else { figure };
        let figure = words(figure, Point::new(min.x - 1.5, y), 2.2);
        canvas.text(figure.ending_here().across_middle());
        level += STEP_DB;
    }
}

/// Where modes begin to overlap.
fn schroeder(canvas: &mut Canvas, sounded: &WaveFieldView<'_>, axes: &Axes) {
    let [low, high] = axes.ends_hz;
    let Some(hz) = sounded.found.schroeder_hz.filter(|hz| (low..high).contains(hz)) else { return };
    let x = axes.at(hz, 0.0).x;
    let ends = vec![Point::new(x, axes.space.min.y), Point::new(x, axes.space.max.y)];
    canvas.polyline(ends, palette::dashed(palette::QUIET, 0.25, super::model::Dash::Chain));
    let at = Point::new(x + 1.0, axes.space.min.y + 2.8);
    canvas.text(words("Schroeder", at, 2.1).quiet().with_halo());
}

/// Names the largest peaks and dips where there is room for it.
fn causes(canvas: &mut Canvas, curve: &Curve<'_>, axes: &Axes) {
    let mut largest: Vec<&Extreme> = curve.extremes.iter().collect();
    largest.sort_by(|a, b| b.height_db.abs().total_cmp(&a.height_db.abs()));
    let mut taken: Vec<Rect> = Vec::new();
    for extreme in largest.into_iter().take(NAMED) {
        let Some(cause) = extreme.causes.first() else { continue };
        let lines = [
            format!("{:.0} Hz, {} dB", extreme.hz, tenths(extreme.height_db)),
            match cause {
                Cause::Mode { mode, .. } => format!("mode {}", counts(mode)),
                Cause::Boundary(boundary) => crate::format::labels::surface(boundary.surface),
            },
        ];
        let wide = lines.iter().map(|l| text::width(l, 2.0, Weight::Regular)).fold(0.0, f64::max);
        let is_peak = 0.0 < extreme.height_db;
        let x = axes
            .at(extreme.hz, 0.0)
            .x
            .clamp(axes.space.min.x + wide / 2.0 + 1.0, axes.space.max.x - wide / 2.0 - 1.0);
        let y = if is_peak { axes.space.min.y + 3.0 } else { axes.space.max.y - 4.2 };
        let area = Rect::around(Point::new(x, y + 0.6), DVec2::new(wide + 2.0, 6.0));
        if taken.iter().any(|other| other.overlaps(area)) {
            continue;
        }
        taken.push(area);
        for (index, says) in lines.into_iter().enumerate() {
            let place = Point::new(x, y + 2.6 * index as f64);
            canvas.text(words(says, place, 2.0).centred().with_halo());
        }
    }
}
