//! The response of the bass at one seat: a chart for each speaker and for each pair together.

use crate::canvas::{Canvas, Dash, Drawing, Outline, Point, Rect, Text, Weight, typeface};
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::uneven_span_of;
use crate::plot::axes::{Axes, Axis, signed, whole};
use crate::plot::curves::extremum_names::{NamedExtremum, names};
use crate::plot::palette::{self, line};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::lengths;
use earline_engine::scene::{ListenerId, SpeakerId, SpeakerKind};
use earline_engine::wave_field::{CoherentSum, Extremum, TransferFunction, UNEVENNESS_BAND_HZ};
use glam::DVec2;
use std::ops::Range;

/// Lowest and highest level on the axis, decibels: above and below the curves names stand.
const LEVELS: [f64; 2] = [-36.0, 36.0];
/// Curves are cut off here, decibels.
pub(crate) const SHOWN_DB: [f64; 2] = [-24.0, 24.0];
/// Figures on the axis of level, decibels.
const FIGURES_DB: [f64; 5] = [-24.0, -12.0, 0.0, 12.0, 24.0];
/// Charts below each other.
const MOST: usize = 3;
/// Figures on the axis of frequency, hertz.
const FIGURES_HZ: [f64; 13] =
    [10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 150.0, 200.0, 300.0, 400.0];

/// A curve with its spread.
struct BassCurve<'a> {
    name: String,
    colour: palette::SpeakerStyle,
    hz: &'a [f64],
    level_db: &'a [f64],
    spread_db: &'a [[f64; 2]],
    extrema: &'a [Extremum],
    /// In decibels, over a range in hertz.
    unevenness: (Option<f64>, [f64; 2]),
}

/// Lays out the charts of one listener.
pub(crate) fn bass(sounded: &WaveFieldView<'_>, listener: ListenerId) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 170.0, inner.max.y), ..inner };
    let variant = sounded.state.name.map_or_else(String::new, |name| format!("variant: {name} · "));
    let about = format!("{variant}listener: {}", sounded.listener(listener));
    let title = sounded.scene.title();
    let range = "level re 1 m in the open, dB";
    frame::headline(&mut canvas, head, title, "Bass at the seat", range, &[about.clone(), about]);
    let curves = curves(sounded, listener);
    let shown = curves.len().min(MOST);
    let whole = Rect::new(inner.min.x + 9.0, 31.0, inner.max.x - 1.0, inner.max.y - 9.0);
    let high = whole.size().y / shown.max(1) as f64;
    for (index, curve) in curves.iter().take(MOST).enumerate() {
        let top = whole.min.y + high * index as f64;
        let space = Rect::new(whole.min.x, top + 4.5, whole.max.x, top + high - 5.3);
        chart(&mut canvas, sounded, curve, space);
    }
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    let half = lengths::written(sounded.plan.head_half_m, sounded.scene.units());
    let more = curves.len().saturating_sub(MOST);
    let left = if more > 0 { format!(" {more} more in bass.json.") } else { String::new() };
    let note = format!(
        "Bands: the head {half} either way. Cut off below {:.0} dB. Hertz.{left}",
        SHOWN_DB[0]
    )
    .replace('-', "\u{2212}");
    canvas.text(
        Text::new(note, Point::new(inner.max.x - 1.0, inner.max.y), 2.3).secondary().anchor_end(),
    );
    Drawing {
        name: "bass",
        title: format!("{title}: the response of the bass at {}", sounded.listener(listener)),
        size: frame::SHEET,
        paper: frame::paper(sounded.scene.units()),
        items: canvas.items,
    }
}

/// What plays together first, then its parts, then single speakers, subwoofers before others.
fn curves<'a>(sounded: &WaveFieldView<'a>, listener: ListenerId) -> Vec<BassCurve<'a>> {
    let finer = sounded.found.curves.as_ref();
    let drawn = |speakers: &[SpeakerId], own: (&'a [f64], &'a [[f64; 2]])| {
        let finer = finer.and_then(|all| Some((all, all.of_speakers(speakers, listener)?)));
        match finer {
            Some((all, curve)) => (&all.hz[..], &curve.level_db[..], &curve.spread_db[..]),
            None => (&sounded.found.hz[..], own.0, own.1),
        }
    };
    let sum = |sum: &'a CoherentSum| {
        let (hz, level_db, spread_db) = drawn(&sum.speakers, (&sum.level_db, &sum.spread_db));
        let group = sounded.group(&sum.speakers, |pair| format!("both of {pair}"));
        BassCurve {
            name: format!("{group} together"),
            colour: palette::SpeakerStyle { colour: palette::INK, ..palette::speaker(0) },
            hz,
            level_db,
            spread_db,
            extrema: &sum.extrema,
            unevenness: (sum.unevenness_db, sum.range_hz),
        }
    };
    let single = |pair: &'a TransferFunction| {
        let (hz, level_db, spread_db) = drawn(&[pair.speaker], (&pair.level_db, &pair.spread_db));
        BassCurve {
            name: sounded.speaker(pair.speaker).to_owned(),
            colour: palette::speaker(pair.speaker.index()),
            hz,
            level_db,
            spread_db,
            extrema: &pair.extrema,
            unevenness: (pair.unevenness_db, pair.range_hz),
        }
    };
    let here = |sum: &&CoherentSum| sum.listener == listener;
    let sums = [&sounded.found.coherent_sums, &sounded.found.partial_sums];
    let sums = sums.into_iter().flat_map(|sums| sums.iter().filter(here)).map(sum);
    let is_subwoofer =
        |pair: &&TransferFunction| sounded.scene[pair.speaker].kind == SpeakerKind::Subwoofer;
    let (subwoofers, others): (Vec<_>, Vec<_>) = sounded.at(listener).partition(is_subwoofer);
    sums.chain(subwoofers.into_iter().chain(others).map(single)).collect()
}

/// Frequencies across and levels up a chart.
pub(crate) fn axes(space: Rect, ends_hz: [f64; 2], levels_db: [f64; 2]) -> Axes {
    Axes {
        space,
        across: Axis::log(ends_hz).ticks(&FIGURES_HZ, whole),
        up: Axis::linear(levels_db).ticks(&FIGURES_DB, signed),
    }
}

/// A curve on the axes, cut off where the names of peaks and dips begin.
pub(crate) fn points(axes: &Axes, hz: &[f64], level_db: impl Iterator<Item = f64>) -> Vec<Point> {
    let shown = level_db.map(|db| db.clamp(SHOWN_DB[0], SHOWN_DB[1]));
    hz.iter().zip(shown).map(|(&hz, db)| axes.at(hz, db)).collect()
}

fn chart(canvas: &mut Canvas, sounded: &WaveFieldView<'_>, curve: &BassCurve<'_>, space: Rect) {
    let ends = [curve.hz.first(), curve.hz.last()].map(|hz| hz.copied().unwrap_or(1.0));
    let axes = axes(space, [ends[0], ends[1].max(1.01 * ends[0])], LEVELS);
    grid(canvas, &axes);
    let heard = heard(curve);
    let (hz, spread_db) = (&curve.hz[heard.clone()], &curve.spread_db[heard.clone()]);
    let mut spread = points(&axes, hz, spread_db.iter().map(|[_, most]| *most));
    let lower = points(&axes, hz, spread_db.iter().map(|[least, _]| *least));
    spread.extend(lower.into_iter().rev());
    let faint = palette::faint(curve.colour.colour);
    canvas.shape(Outline::Polygon(spread), Some(faint), None);
    let level = points(&axes, hz, curve.level_db[heard].iter().copied());
    canvas.polyline(level, line(curve.colour.colour, 0.45));
    schroeder(canvas, sounded, &axes);
    axes.marks(canvas);
    let name = typeface::fit(&curve.name, 2.8, Weight::Semibold, 90.0);
    let at = Point::new(space.min.x, space.min.y - 1.4);
    let after = at.x + typeface::width(&name, 2.8, Weight::Semibold) + 3.0;
    canvas.text(Text::new(name, at, 2.8).semibold().coloured(curve.colour.colour));
    if let (Some(db), range_hz) = curve.unevenness {
        let says = format!("unevenness {db:.1} dB from {}", uneven_span_of(sounded, range_hz));
        canvas.text(Text::new(says, Point::new(after, at.y), 2.4).secondary());
    }
    names(canvas, &axes, SHOWN_DB, &found(sounded, curve));
}

/// The part of a curve that is on the chart: what is played, and beside it as far as the curve has not left the chart.
fn heard(curve: &BassCurve<'_>) -> Range<usize> {
    let (_, [low_hz, high_hz]) = curve.unevenness;
    let is_shown = |place: usize| SHOWN_DB[0] < curve.spread_db[place][1];
    let count = curve.hz.len().min(curve.spread_db.len());
    let (mut first, mut end) = (0, count);
    if UNEVENNESS_BAND_HZ[0] < low_hz {
        first = curve.hz.partition_point(|&hz| hz < low_hz).min(count);
        while 0 < first && is_shown(first - 1) {
            first -= 1;
        }
    }
    if high_hz < UNEVENNESS_BAND_HZ[1] {
        end = curve.hz.partition_point(|&hz| hz <= high_hz).clamp(first, count);
        while end < count && is_shown(end) {
            end += 1;
        }
    }
    first.saturating_sub(1)..(end + 1).min(count)
}

/// The peaks and dips of a curve, each where it is on the sheet; none where it is not played.
fn found(sounded: &WaveFieldView<'_>, curve: &BassCurve<'_>) -> Vec<NamedExtremum> {
    let found = |extreme: &Extremum| {
        let place = curve.hz.partition_point(|&hz| hz < extreme.hz);
        Some(NamedExtremum {
            hz: extreme.hz,
            prominence_db: extreme.prominence_db,
            level_db: curve.level_db.get(place)?.clamp(SHOWN_DB[0], SHOWN_DB[1]),
            cause: sounded.likely_label(extreme),
        })
    };
    let (_, [low_hz, high_hz]) = curve.unevenness;
    let is_played = |extreme: &&Extremum| {
        let below = UNEVENNESS_BAND_HZ[0] < low_hz && extreme.hz < low_hz;
        let above = high_hz < UNEVENNESS_BAND_HZ[1] && high_hz < extreme.hz;
        !below && !above
    };
    curve.extrema.iter().filter(is_played).filter_map(found).collect()
}

/// The grid, with the line of 0 dB heavier than the others.
pub(crate) fn grid(canvas: &mut Canvas, axes: &Axes) {
    axes.grid(canvas);
    canvas.polyline(axes.horizontal(0.0), line(palette::RULE, 0.25));
}

/// The Schroeder frequency, where modes begin to overlap.
fn schroeder(canvas: &mut Canvas, sounded: &WaveFieldView<'_>, axes: &Axes) {
    let [low, high] = axes.across.range;
    let Some(hz) = sounded.found.schroeder_hz.filter(|hz| (low..high).contains(hz)) else { return };
    canvas.polyline(axes.vertical(hz), palette::dashed(palette::SECONDARY, 0.25, Dash::Chain));
    let x = axes.x(hz);
    let at = Point::new(x + 1.0, axes.y(SHOWN_DB[0]) - 1.0);
    canvas.text(Text::new("Schroeder", at, 2.1).secondary().haloed());
}
