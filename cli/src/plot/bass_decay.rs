//! How the bass dies away at a seat: frequency across, time downward, the level in shades.

use super::border::{self, CAPTION};
use super::canvas::{Canvas, words};
use super::isobands::Field;
use super::level_shades::{BAR, LevelShades};
use super::model::{Dash, Drawing, Point, Rect};
use super::palette::{self, dashed, line};
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::{ActiveSpeakers, SeatMaps};
use earline_engine::wave_field::{BAND_OCTAVES, Ringing};
use glam::DVec2;

/// Shades and their steps, decibels.
const SHADES: usize = 12;
const STEP_DB: f64 = 5.0;
/// Between lines across, milliseconds.
const STEP_MS: f64 = 100.0;
/// Figures on the axis of frequency, hertz.
const FIGURES_HZ: [f64; 14] =
    [10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 150.0, 200.0, 300.0, 400.0];

/// Frequency across and time downward.
struct Axes {
    space: Rect,
    ends_hz: [f64; 2],
    last_ms: f64,
}

/// Lays out the decay at one listener; `None` where none was followed.
pub(crate) fn bass_decay(
    sounded: &WaveFieldView<'_>,
    active: &ActiveSpeakers,
    mapped: &SeatMaps,
) -> Option<Drawing> {
    let ringing = mapped.ringing.as_ref()?;
    let mut canvas = Canvas::default();
    let inner = border::frame(&mut canvas).grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 150.0, inner.max.y), ..inner };
    let variant = sounded.state.name.map_or_else(String::new, |name| format!("variant: {name} · "));
    let listener = sounded.listener(mapped.listener);
    let about = format!("{variant}listener: {listener} · {}", active.name);
    let title = sounded.scene.title();
    let kind = "How the bass dies away";
    border::headline(&mut canvas, head, title, kind, "after a click", &[about.clone(), about]);
    let shades = LevelShades::up_to(0.0, STEP_DB, SHADES);
    let bar = Rect::new(inner.max.x - 112.0, inner.min.y, inner.max.x, inner.min.y + BAR);
    shades.bar(&mut canvas, "Level against the loudest in this picture, dB", bar);
    let ends = [ringing.band_hz.first(), ringing.band_hz.last()];
    let axes = Axes {
        space: Rect::new(
            inner.min.x + 13.0,
            inner.min.y + 27.0,
            inner.max.x - 2.0,
            inner.max.y - 18.0,
        ),
        ends_hz: ends.map(|hz| hz.copied().unwrap_or(1.0)),
        last_ms: 1e3
            * ringing.step_s
            * ringing.level_db.first().map_or(1, Vec::len).saturating_sub(1) as f64,
    };
    field(&mut canvas, &shades, ringing, &axes);
    grid(&mut canvas, &axes);
    smear(&mut canvas, &axes);
    modes(&mut canvas, sounded, &axes);
    canvas.rect(axes.space, None, Some(line(palette::INK, 0.25)));
    notes(&mut canvas, inner);
    Some(Drawing {
        name: "bass-decay",
        title: format!("{title}: how the bass dies away at {listener}"),
        size: border::SHEET,
        items: canvas.items,
    })
}

impl Axes {
    fn x(&self, hz: f64) -> f64 {
        let [low, high] = self.ends_hz;
        let part = if low < high { (hz / low).ln() / (high / low).ln() } else { 0.5 };
        self.space.min.x + part * self.space.size().x
    }

    fn y(&self, ms: f64) -> f64 {
        self.space.min.y + ms / self.last_ms.max(1.0) * self.space.size().y
    }
}

fn field(canvas: &mut Canvas, shades: &LevelShades, ringing: &Ringing, axes: &Axes) {
    let last = ringing.band_hz.len().saturating_sub(1).max(1) as f64;
    // Bands are even steps of an octave apart, so rows are even on the sheet.
    let at = |row: f64, column: f64| {
        let x = axes.space.min.x + axes.space.size().x * row / last;
        Point::new(x, axes.y(1e3 * ringing.step_s * column))
    };
    shades.fill(canvas, &Field { figures: &ringing.level_db, at: &at });
}

fn grid(canvas: &mut Canvas, axes: &Axes) {
    let Rect { min, max } = axes.space;
    let [low, high] = axes.ends_hz;
    for hz in FIGURES_HZ.into_iter().filter(|hz| (low..=high).contains(hz)) {
        let x = axes.x(hz);
        let ends = vec![Point::new(x, max.y), Point::new(x, max.y + 1.2)];
        canvas.polyline(ends, line(palette::INK, 0.2));
        canvas.text(words(format!("{hz:.0}"), Point::new(x, max.y + 4.2), 2.4).centred());
    }
    let mut ms = 0.0;
    while ms <= axes.last_ms + 1e-9 {
        let y = axes.y(ms);
        canvas.polyline(
            vec![Point::new(min.x - 1.2, y), Point::new(min.x, y)],
            line(palette::INK, 0.2),
        );
        let figure = words(format!("{ms:.0}"), Point::new(min.x - 2.0, y), 2.4);
        canvas.text(figure.ending_here().across_middle());
        ms += STEP_MS;
    }
    let under = Point::new(max.x, max.y + 8.0);
    canvas.text(words("hertz", under, 2.4).quiet().ending_here());
    let beside = Point::new(min.x - 10.5, axes.space.middle().y);
    let says = "milliseconds after the direct sound";
    canvas.text(words(says, beside, 2.4).quiet().centred().upward());
}

/// Where the filter alone, without a room, would have lost 12 dB.
fn smear(canvas: &mut Canvas, axes: &Axes) {
    let [low, high] = axes.ends_hz;
    let points = (0..=60)
        .map(|i| low * (high / low).powf(f64::from(i) / 60.0))
        .map(|hz| Point::new(axes.x(hz), axes.y(1e3 * Ringing::smear_s(hz)).min(axes.space.max.y)));
    let points: Vec<Point> = points.collect();
    for (colour, width) in [(palette::PAPER, 0.7), (palette::INK, 0.3)] {
        canvas.polyline(points.clone(), dashed(colour, width, Dash::Long));
    }
}

/// Marks over the field where the room's modes are, longer for those along one axis.
fn modes(canvas: &mut Canvas, sounded: &WaveFieldView<'_>, axes: &Axes) {
    let [low, high] = axes.ends_hz;
    let top = axes.space.min.y;
    for row in sounded.found.modes.iter().filter(|row| (low..=high).contains(&row.hz)) {
        let (long, width) = match row.mode.axes() {
            1 => (4.0, 0.35),
            2 => (2.4, 0.2),
            _ => (1.2, 0.15),
        };
        let x = axes.x(row.hz);
        canvas.polyline(
            vec![Point::new(x, top), Point::new(x, top - long)],
            line(palette::INK, width),
        );
    }
    let at = Point::new(axes.space.min.x, top - 5.2);
    let says = "Marks: modes of the room; the long ones run between two opposite surfaces.";
    canvas.text(words(says, at, 2.3).quiet());
}

fn notes(canvas: &mut Canvas, inner: Rect) {
    let bands = (1.0 / BAND_OCTAVES).round();
    let lines = [
        format!(
            "Bands a 1/{bands:.0} octave wide. Above the dashes it is the filter that is seen, not the room: \
             what is as narrow as that in frequency cannot be sharp in time."
        ),
        "Long dark tongues are modes that ring on. Absorbers thick enough for that frequency shorten them; \
         moving only changes how strongly they are struck and heard."
            .to_owned(),
    ];
    for (index, says) in lines.into_iter().enumerate() {
        let at = Point::new(inner.min.x, inner.max.y - 8.0 + 3.8 * index as f64);
        canvas.text(words(says, at, 2.4).quiet());
    }
    canvas.text(words(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).quiet());
}
