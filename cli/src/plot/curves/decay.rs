//! Decay at the seat: a chart for each octave band, all speakers in each.

use crate::canvas::{Canvas, Drawing, Item, Outline, Point, Rect, Stroke, Text, Weight, typeface};
use crate::plot::axes::{Axes, Axis, hertz, whole};
use crate::plot::data::decay_view::{SeatDecay, SpeakerDecay};
use crate::plot::data::input::Input;
use crate::plot::palette::{self, dashed};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::speaker_key;
use earline_engine::medium::bands::{BAND_COUNT, NOMINAL_HZ};
use earline_engine::metrics::decay::Estimate;
use glam::DVec2;

/// Lowest and highest level shown, decibels.
const LEVELS: [f64; 2] = [-60.0, 3.0];
/// Range in which T20 is read, decibels.
const READ: [f64; 2] = [-5.0, -25.0];
/// A curve ends where its standard error is more than this, decibels: beyond it few rays carry it, and both
/// its line and its error are those of chance.
const MOST_ERROR_DB: f64 = 1.5;
/// Charts beside each other.
const COLUMNS: usize = 4;
/// Width of a step along a curve, millimetres.
const STEP: f64 = 0.6;

/// Lays out the charts.
pub(crate) fn decay(input: &Input) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 150.0, inner.max.y), ..inner };
    frame::title(&mut canvas, head, input, "Decay in octave bands", "at the seat");
    speaker_key::draw(&mut canvas, input, inner, stroke);
    if let Some(decay) = &input.decay {
        let end_ms = end_ms(decay);
        for band in 0..BAND_COUNT {
            chart(&mut canvas, decay, band, &axes(inner, band, end_ms));
        }
    }
    let under = Point::new(inner.max.x - 2.0, inner.max.y - 4.6);
    canvas.text(
        Text::new("milliseconds after the direct sound", under, 2.4).secondary().anchor_end(),
    );
    let beside = Point::new(inner.min.x + 2.0, inner.middle().y + 6.0);
    let level = "remaining energy, dB";
    canvas.text(Text::new(level, beside, 2.4).secondary().centred().rotated());
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    let note = "Faint bands are one standard error either way; curves end where that is more than 1.5 dB. T20, at the top right, is read in the grey field and stands for 60 dB.";
    canvas.text(
        Text::new(note, Point::new(inner.max.x - 2.0, inner.max.y), 2.3).secondary().anchor_end(),
    );
    Drawing {
        name: "decay",
        title: format!("{}: decay in octave bands at the seat", input.title),
        size: frame::SHEET,
        paper: frame::paper(input.units),
        items: canvas.items,
    }
}

/// A speaker's line.
pub(crate) fn stroke(speaker: usize) -> Stroke {
    let style = palette::speaker(speaker);
    dashed(style.colour, if speaker.is_multiple_of(2) { 0.3 } else { 0.42 }, style.dash)
}

/// The place of a band's chart.
fn axes(inner: Rect, band: usize, end_ms: f64) -> Axes {
    let place = DVec2::new((band % COLUMNS) as f64, (band / COLUMNS) as f64);
    let all = Rect::new(inner.min.x + 5.0, 33.0, inner.max.x - 2.0, inner.max.y - 7.0);
    let rows = BAND_COUNT.div_ceil(COLUMNS);
    let cell = all.size() / DVec2::new(COLUMNS as f64, rows as f64);
    let min = all.min + cell * place;
    Axes {
        space: Rect { min: min + DVec2::new(8.0, 5.0), max: min + cell - DVec2::new(2.0, 6.0) },
        across: Axis::linear([0.0, end_ms]).every(time_step(end_ms), whole),
        up: Axis::linear(LEVELS).every(10.0, whole),
    }
}

/// The part of a curve that is known well enough.
fn known(curve: &[Estimate]) -> &[Estimate] {
    let is_known = |at: &Estimate| {
        at.value.is_finite() && at.standard_error.is_some_and(|error| error <= MOST_ERROR_DB)
    };
    let end = curve.iter().position(|at| !is_known(at)).unwrap_or(curve.len());
    curve.get(..end).unwrap_or_default()
}

/// The first round time by which every curve has ended or is off the chart.
fn end_ms(decay: &SeatDecay) -> f64 {
    let over = |speaker: &SpeakerDecay| {
        let of =
            |curve: &&[Estimate]| known(curve).iter().take_while(|at| at.value > LEVELS[0]).count();
        let longest = speaker.curves.iter().map(of).max().unwrap_or(0);
        longest as f64 * speaker.step_ms
    };
    let longest = decay.speakers.iter().map(over).fold(0.0, f64::max);
    let step = time_step(longest);
    (longest / step).ceil().max(1.0) * step
}

/// A step that gives four or five figures along a chart.
fn time_step(end_ms: f64) -> f64 {
    let steps = [20.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0];
    steps.into_iter().find(|step| end_ms / step <= 5.0).unwrap_or(2000.0)
}

fn chart(canvas: &mut Canvas, decay: &SeatDecay, band: usize, axes: &Axes) {
    canvas.rect(axes.space, Some(palette::PAPER), None);
    let read = Rect {
        min: axes.at(axes.across.range[0], READ[0]),
        max: axes.at(axes.across.range[1], READ[1]),
    };
    canvas.rect(read, Some(palette::VEIL), None);
    axes.grid(canvas);
    let mut inside = Canvas::default();
    for speaker in &decay.speakers {
        doubt(&mut inside, speaker, band, axes);
    }
    for speaker in &decay.speakers {
        let line = points(speaker, band, axes, 0.0);
        if let Some(&end) = line.last() {
            let colour = palette::speaker(speaker.speaker).colour;
            inside.circle(end, 0.55, Some(colour), None);
        }
        inside.polyline(line, stroke(speaker.speaker));
    }
    canvas.items.push(Item::Clipped { to: axes.space, items: inside.items });
    axes.marks(canvas);
    let over = axes.space.min + DVec2::new(0.0, -1.6);
    let hz = hertz(NOMINAL_HZ[band]);
    canvas.text(Text::new(hz, over, 2.8).semibold());
    times(canvas, decay, band, axes);
}

/// The field of one standard error either way.
fn doubt(canvas: &mut Canvas, speaker: &SpeakerDecay, band: usize, axes: &Axes) {
    let mut outline = points(speaker, band, axes, 1.0);
    let mut below = points(speaker, band, axes, -1.0);
    below.reverse();
    outline.append(&mut below);
    if outline.len() > 2 {
        let fill = palette::faint(palette::speaker(speaker.speaker).colour);
        canvas.shape(Outline::Polygon(outline), Some(fill), None);
    }
}

/// A curve moved by so many standard errors, a point each step across the sheet, to where it leaves
/// the chart or is not known any more.
fn points(speaker: &SpeakerDecay, band: usize, axes: &Axes, errors: f64) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    let known = known(speaker.curves[band]);
    for (index, level) in known.iter().enumerate() {
        let time = speaker.step_ms * index as f64;
        if axes.across.range[1] < time {
            break;
        }
        // A little below the field, so that the line leaves it instead of running along its edge.
        let shown = (level.value + errors * level.standard_error.unwrap_or(0.0))
            .max(axes.up.range[0] - 4.0);
        let point = axes.at(time, shown);
        let is_last = level.value < axes.up.range[0] - 4.0 || index + 1 == known.len();
        if is_last || points.last().is_none_or(|last| last.x + STEP <= point.x) {
            points.push(point);
        }
        if is_last {
            break;
        }
    }
    points
}

/// Speakers whose times stand in each chart.
const TIMED: usize = 4;

/// T20 of each speaker at the top right, where no curve runs.
fn times(canvas: &mut Canvas, decay: &SeatDecay, band: usize, axes: &Axes) {
    let corner = Point::new(axes.space.max.x - 1.4, axes.space.min.y + 4.6);
    for (row, speaker) in decay.speakers.iter().take(TIMED).enumerate() {
        let says = match speaker.t20[band] {
            Some(time) => format!("{} s", time.with_error()),
            None => "–".to_owned(),
        };
        let at = corner + DVec2::Y * (3.5 * row as f64);
        canvas.text(Text::new(says.clone(), at, 2.4).anchor_end().haloed());
        let wide = typeface::width(&says, 2.4, Weight::Regular);
        let middle = at - DVec2::new(wide + 7.5, typeface::CAPITAL * 1.2);
        canvas.polyline(vec![middle, middle + DVec2::X * 6.0], stroke(speaker.speaker));
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_ERROR_DB, known};
    use earline_engine::metrics::decay::Estimate;

    /// What few rays carry is not drawn, though it may come to be surer again by chance.
    #[test]
    fn a_curve_ends_where_it_is_not_known() {
        let at = |value: f64, standard_error: Option<f64>| Estimate { value, standard_error };
        let sure = [at(0.0, Some(0.0)), at(-10.0, Some(0.1)), at(-20.0, Some(MOST_ERROR_DB))];
        for end in [at(-30.0, Some(2.0)), at(-30.0, None), at(f64::NEG_INFINITY, Some(0.0))] {
            let curve = [&sure[..], &[end, at(-40.0, Some(0.2))]].concat();
            assert_eq!(known(&curve), sure);
        }
        assert_eq!(known(&sure), sure);
        assert!(known(&[]).is_empty());
    }
}
