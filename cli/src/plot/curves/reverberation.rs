//! Reverberation time against octave band, with what a published recommendation allows.

use crate::canvas::{Canvas, Dash, Drawing, Outline, Point, Rect, Stroke, Text, Weight, typeface};
use crate::content::criterion::FROM_MEMORY;
use crate::plot::axes::{Axes, Axis, hertz, tenths};
use crate::plot::curves::{band_table, decay};
use crate::plot::data::decay_view::{Criterion, SeatDecay, Time};
use crate::plot::data::input::Input;
use crate::plot::palette::{self, dashed, line};
use crate::plot::sheet::frame::{self, CAPTION};
use earline_engine::medium::bands::NOMINAL_HZ;
use glam::DVec2;

/// Speakers stand so far beside each other in a band, millimetres.
const APART: f64 = 1.6;
/// Most of the sheet that the rows under the chart may take, millimetres.
const ROWS: f64 = 62.0;

/// Lays out the chart and the rows under it.
pub(crate) fn reverberation(input: &Input) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    frame::title(&mut canvas, inner, input, "Reverberation time", "at the seat");
    if let Some(decay) = &input.decay {
        let shown = band_table::rows(decay.speakers.len(), ROWS);
        let bottom = inner.max.y - 6.0;
        let more = decay.speakers.len() - shown;
        let under = band_table::height(shown) + if more > 0 { 4.0 } else { 0.0 };
        let space = Rect::new(inner.min.x + 14.0, 40.0, inner.max.x - 2.0, bottom - under - 7.5);
        let axes = axes(space, longest_s(decay));
        key(&mut canvas, decay, inner);
        chart(&mut canvas, decay, &axes);
        let table = Rect::new(inner.min.x, bottom - under, inner.max.x - 2.0, bottom);
        band_table::draw(&mut canvas, input, decay, &axes, table, shown);
        if more > 0 {
            let says = format!("and {more} more speakers, in decay.csv");
            let at = Point::new(table.min.x, bottom - 0.6);
            canvas.text(Text::new(says, at, 2.4).secondary());
        }
    }
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    let note = "Bars are one standard error either way. pass: within the tolerance; near: outside by less than 0.02 s or the error; miss: further.";
    canvas.text(
        Text::new(note, Point::new(inner.max.x - 2.0, inner.max.y), 2.3).secondary().anchor_end(),
    );
    Drawing {
        name: "reverberation",
        title: format!("{}: reverberation time at the seat", input.title),
        size: frame::SHEET,
        paper: frame::paper(input.units),
        items: canvas.items,
    }
}

/// From the first and last band to the edges, in octaves.
const BESIDE: f64 = 0.45;

/// Octave bands to the right, seconds rotated; the highest a round time that leaves a little air over
/// the longest one shown.
pub(super) fn axes(space: Rect, longest_s: f64) -> Axes {
    let wanted_s = (longest_s * 1.06).max(0.3);
    let steps_s = [0.1, 0.2, 0.5, 1.0].into_iter();
    let step_s = steps_s.clone().find(|step| wanted_s / step <= 12.0).unwrap_or(2.0);
    let highest_s = (wanted_s / step_s).ceil() * step_s;
    let step_s = steps_s.clone().find(|step| highest_s / step <= 12.0).unwrap_or(2.0);
    let beside = BESIDE.exp2();
    let bands = [NOMINAL_HZ[0] / beside, NOMINAL_HZ[NOMINAL_HZ.len() - 1] * beside];
    Axes {
        space,
        across: Axis::log(bands).ticks(&NOMINAL_HZ, hertz),
        up: Axis::linear([0.0, highest_s]).every(step_s, tenths),
    }
}

/// The longest time on the chart.
fn longest_s(decay: &SeatDecay) -> f64 {
    let times = decay.speakers.iter().flat_map(|speaker| speaker.t20.iter().flatten());
    let times = times.map(|time| time.s + time.error_s.unwrap_or(0.0));
    let formula = decay.eyring_s.iter().flatten().copied();
    let allowed = decay.criterion.corners.iter().map(|corner| corner[2]);
    times.chain(formula).chain(allowed).filter(|s| s.is_finite()).fold(0.0, f64::max)
}

/// Key of the field and the dotted line, over the chart.
fn key(canvas: &mut Canvas, decay: &SeatDecay, inner: Rect) {
    let at = Point::new(inner.min.x + 14.0, 36.0);
    let field = Rect::around(at + DVec2::X * 5.0, DVec2::new(10.0, 2.8));
    canvas.rect(field, Some(palette::TOLERANCE), Some(edge()));
    let says = typeface::fit(&tolerance(&decay.criterion), 2.4, Weight::Semibold, 180.0);
    canvas.text(Text::new(says, at + DVec2::X * 12.0, 2.4).semibold().middle_baseline());
    let at = Point::new(inner.max.x - 38.0, 36.0);
    canvas.sample(at, 10.0, formula());
    canvas.text(Text::new("Eyring's formula", at + DVec2::X * 12.0, 2.4).middle_baseline());
}

/// What the field shows.
pub(super) fn tolerance(criterion: &Criterion) -> String {
    let Criterion { document, nominal_s, from_memory, .. } = criterion;
    let memory = if *from_memory { format!(", {FROM_MEMORY}") } else { String::new() };
    format!("tolerance of {document} around its nominal {nominal_s:.2} s{memory}")
}

/// The edge of the field.
pub(super) fn edge() -> Stroke {
    line(palette::TOLERANCE_EDGE, 0.2)
}

fn formula() -> Stroke {
    dashed(palette::SECONDARY, 0.28, Dash::Short)
}

fn chart(canvas: &mut Canvas, decay: &SeatDecay, axes: &Axes) {
    canvas.rect(axes.space, Some(palette::PAPER), None);
    allowed(canvas, &decay.criterion, axes);
    axes.grid(canvas);
    let eyring = NOMINAL_HZ.into_iter().zip(decay.eyring_s);
    runs(canvas, eyring.map(|(hz, time)| Some(axes.at(hz, time?))), formula());
    let middle = (decay.speakers.len() as f64 - 1.0) / 2.0;
    // Side by side, as long as they leave room between the bands.
    let apart = APART.min(12.0 / decay.speakers.len().max(1) as f64);
    for (place, speaker) in decay.speakers.iter().enumerate() {
        let aside = DVec2::X * ((place as f64 - middle) * apart);
        let times = NOMINAL_HZ.into_iter().zip(&speaker.t20);
        let at = times.map(|(hz, time)| Some((axes.at(hz, time.as_ref()?.s) + aside, time)));
        let places: Vec<_> = at.collect();
        let points = places.iter().map(|found| found.map(|(point, _)| point));
        runs(canvas, points, decay::stroke(speaker.speaker));
        for (point, time) in places.into_iter().flatten() {
            if let Some(time) = time {
                error_bar(canvas, axes, point.x, time, speaker.speaker);
            }
            let colour = palette::speaker(speaker.speaker).colour;
            canvas.circle(point, 0.8, Some(colour), Some(line(palette::PAPER, 0.15)));
        }
    }
    axes.marks(canvas);
    axes.titles(canvas, "", "reverberation time T20, seconds");
}

/// A line through points, broken where one is missing.
pub(super) fn runs(
    canvas: &mut Canvas,
    points: impl Iterator<Item = Option<Point>>,
    stroke: Stroke,
) {
    let points: Vec<Option<Point>> = points.collect();
    for run in points.split(Option::is_none) {
        let run: Vec<Point> = run.iter().copied().flatten().collect();
        if run.len() > 1 {
            canvas.polyline(run, stroke);
        }
    }
}

/// The tolerance as a field, and the nominal time over the bands that it is a mean of.
pub(super) fn allowed(canvas: &mut Canvas, criterion: &Criterion, axes: &Axes) {
    let above = criterion.corners.iter().map(|&[hz, _, upper]| axes.at(hz, upper));
    let below = criterion.corners.iter().rev().map(|&[hz, lower, _]| axes.at(hz, lower.max(0.0)));
    let outline: Vec<Point> = above.chain(below).collect();
    if outline.len() > 2 {
        canvas.shape(Outline::Polygon(outline), Some(palette::TOLERANCE), Some(edge()));
    }
    let nominal = [200.0, 4000.0].map(|hz| axes.at(hz, criterion.nominal_s));
    canvas.polyline(nominal.to_vec(), dashed(palette::TOLERANCE_EDGE, 0.25, Dash::Long));
}

/// Paints an error bar; one that is not known has none.
fn error_bar(canvas: &mut Canvas, axes: &Axes, x: f64, time: &Time, speaker: usize) {
    let Some(error) = time.error_s else { return };
    let stroke = line(palette::speaker(speaker).colour, 0.28);
    let ends = [time.s + error, time.s - error].map(|s| Point::new(x, axes.y(s)));
    canvas.polyline(ends.to_vec(), stroke);
    for end in ends {
        canvas.polyline(vec![end - DVec2::X * 0.9, end + DVec2::X * 0.9], stroke);
    }
}
