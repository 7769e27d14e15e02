//! Decay of the bass at a seat: frequency across, time downward, level as colour.

use crate::canvas::{Canvas, Dash, Drawing, Point, Rect, Text};
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::{ActiveSpeakers, SeatMaps};
use crate::plot::axes::{Axes, Axis, whole};
use crate::plot::colormap::{BAR, Colormap};
use crate::plot::contour::GridField;
use crate::plot::palette::{self, dashed, line};
use crate::plot::sheet::frame::{self, CAPTION};
use earline_engine::wave_field::{BANDWIDTH_OCTAVES, NarrowBandDecay};
use glam::DVec2;

/// Shades and their steps, decibels.
const SHADES: usize = 12;
const STEP_DB: f64 = 5.0;
/// Between lines across, milliseconds.
const STEP_MS: f64 = 100.0;
/// Figures on the axis of frequency, hertz.
const FIGURES_HZ: [f64; 14] =
    [10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 150.0, 200.0, 300.0, 400.0];

/// Lays out the decay at one listener; `None` where none was followed.
pub(crate) fn bass_decay(
    sounded: &WaveFieldView<'_>,
    active: &ActiveSpeakers,
    mapped: &SeatMaps,
) -> Option<Drawing> {
    let ringing = mapped.ringing.as_ref()?;
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 150.0, inner.max.y), ..inner };
    let variant = sounded.state.name.map_or_else(String::new, |name| format!("variant: {name} · "));
    let listener = sounded.listener(mapped.listener);
    let about = format!("{variant}listener: {listener} · {}", active.together());
    let title = sounded.scene.title();
    let kind = "How the bass dies away";
    frame::headline(&mut canvas, head, title, kind, "after a click", &[about.clone(), about]);
    let colormap = Colormap::level(0.0, STEP_DB, SHADES);
    let bar = Rect::new(inner.max.x - 112.0, inner.min.y, inner.max.x, inner.min.y + BAR);
    colormap.bar(&mut canvas, "Level against the loudest in this picture, dB", bar);
    let axes = axes(inner, ringing);
    field(&mut canvas, &colormap, ringing, &axes);
    smear(&mut canvas, &axes);
    modes(&mut canvas, sounded, &axes);
    axes.marks(&mut canvas);
    axes.titles(&mut canvas, "hertz", "milliseconds after the direct sound");
    notes(&mut canvas, inner);
    Some(Drawing {
        name: "bass-decay",
        title: format!("{title}: how the bass dies away at {listener}"),
        size: frame::SHEET,
        paper: frame::paper(sounded.scene.units()),
        items: canvas.items,
    })
}

/// Frequency across and time downward.
fn axes(inner: Rect, ringing: &NarrowBandDecay) -> Axes {
    let ends_hz = [ringing.band_hz.first(), ringing.band_hz.last()];
    let steps = ringing.level_db.first().map_or(1, Vec::len).saturating_sub(1);
    let last_ms = 1e3 * ringing.time_step_s * steps as f64;
    let (min, max) = (inner.min + DVec2::new(13.0, 27.0), inner.max - DVec2::new(2.0, 18.0));
    Axes {
        space: Rect { min, max },
        across: Axis::log(ends_hz.map(|hz| hz.copied().unwrap_or(1.0))).ticks(&FIGURES_HZ, whole),
        up: Axis::linear([last_ms.max(1.0), 0.0]).every(STEP_MS, whole),
    }
}

fn field(canvas: &mut Canvas, colormap: &Colormap, ringing: &NarrowBandDecay, axes: &Axes) {
    let last = ringing.band_hz.len().saturating_sub(1).max(1) as f64;
    // Bands are even steps of an octave apart, so rows are even on the sheet.
    let at = |row: f64, column: f64| {
        let x = axes.space.min.x + axes.space.size().x * row / last;
        Point::new(x, axes.y(1e3 * ringing.time_step_s * column))
    };
    colormap.fill(canvas, &GridField { figures: &ringing.level_db, at: &at });
}

/// Time by which the filter alone, without a room, would have lost 12 dB.
fn smear(canvas: &mut Canvas, axes: &Axes) {
    let [low, high] = axes.across.range;
    let points = (0..=60).map(|i| low * (high / low).powf(f64::from(i) / 60.0)).map(|hz| {
        Point::new(
            axes.x(hz),
            axes.y(1e3 * NarrowBandDecay::filter_duration_s(hz)).min(axes.space.max.y),
        )
    });
    let points: Vec<Point> = points.collect();
    for (colour, width) in [(palette::PAPER, 0.7), (palette::INK, 0.3)] {
        canvas.polyline(points.clone(), dashed(colour, width, Dash::Long));
    }
}

/// Marks over the field where the room's modes are, longer for those along one axis.
fn modes(canvas: &mut Canvas, sounded: &WaveFieldView<'_>, axes: &Axes) {
    let [low, high] = axes.across.range;
    let top = axes.space.min.y;
    for row in sounded.found.modes.iter().filter(|row| (low..=high).contains(&row.hz)) {
        let (long, width) = match row.mode.varying_axes() {
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
    canvas.text(Text::new(says, at, 2.3).secondary());
}

fn notes(canvas: &mut Canvas, inner: Rect) {
    let bands = (1.0 / BANDWIDTH_OCTAVES).round();
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
        canvas.text(Text::new(says, at, 2.4).secondary());
    }
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
}
