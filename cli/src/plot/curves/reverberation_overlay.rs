//! Reverberation time of several states over each other, against what a published recommendation allows.

use crate::canvas::{Canvas, Dash, Drawing, Paper, Point, Rect, Stroke, Text, Weight, typeface};
use crate::plot::curves::reverberation::{allowed, axes, edge, runs, tolerance};
use crate::plot::data::decay_view::{SeatDecay, Time};
use crate::plot::data::from_compared::ShownState;
use crate::plot::palette::{self, dashed, line};
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use glam::DVec2;

/// Width and height, millimetres: as wide as the text of a printed page.
const SIZE: DVec2 = DVec2::new(192.0, 104.0);
/// States that can be told apart.
const STATES: usize = 4;
/// Height of the letters, millimetres.
const LETTERS: f64 = 2.7;
/// Height of a row of the key, millimetres.
const ROW: f64 = 4.6;
/// Width of a line in the key, millimetres.
const SAMPLE: f64 = 10.0;

/// Lays out the chart: for each state the mean of all speakers at the seat.
pub(crate) fn reverberation_compared(shown: &[ShownState]) -> Drawing {
    let mut canvas = Canvas::default();
    let states: Vec<(&str, &SeatDecay, PerBand<Option<f64>>)> = shown
        .iter()
        .take(STATES)
        .filter_map(|state| {
            let decay = state.input.decay.as_ref()?;
            Some((state.name.as_str(), decay, mean_s(decay)))
        })
        .collect();
    let title = shown.first().map_or("", |state| state.input.title);
    if let Some((_, first, _)) = states.first() {
        let times = states.iter().flat_map(|(_, _, times)| times.iter().flatten().copied());
        let upper = first.criterion.corners.iter().map(|corner| corner[2]);
        let longest_s = times.chain(upper).filter(|s| s.is_finite()).fold(0.0, f64::max);
        let top = 8.0 + ROW * (1 + states.len().div_ceil(2)) as f64;
        let axes = axes(Rect::new(16.0, top, SIZE.x - 5.0, SIZE.y - 11.0), longest_s);
        key(&mut canvas, first, &states);
        canvas.rect(axes.space, Some(palette::PAPER), None);
        allowed(&mut canvas, &first.criterion, &axes);
        axes.grid(&mut canvas);
        for (index, (_, _, times)) in states.iter().enumerate() {
            let places: Vec<Option<Point>> =
                NOMINAL_HZ.into_iter().zip(times).map(|(hz, s)| Some(axes.at(hz, (*s)?))).collect();
            runs(&mut canvas, places.iter().copied(), stroke(index));
            for at in places.into_iter().flatten() {
                canvas.circle(
                    at,
                    0.8,
                    Some(stroke(index).colour),
                    Some(line(palette::PAPER, 0.15)),
                );
            }
        }
        axes.marks(&mut canvas);
        axes.titles(&mut canvas, "", "reverberation time T20, seconds");
    }
    Drawing {
        name: "reverberation-compared",
        title: format!("{title}: reverberation time of the states at the seat"),
        size: SIZE,
        paper: Paper::AsDrawn,
        items: canvas.items,
    }
}

/// Mean of all speakers in each band, seconds; `None` where one of them cannot be read.
fn mean_s(decay: &SeatDecay) -> PerBand<Option<f64>> {
    std::array::from_fn(|band| {
        let times: Option<Vec<Time>> =
            decay.speakers.iter().map(|speaker| speaker.t20[band]).collect();
        let times = times.filter(|times| !times.is_empty())?;
        Some(times.iter().map(|time| time.s).sum::<f64>() / times.len() as f64)
    })
}

/// The line of a state, in the order of the comparison.
fn stroke(state: usize) -> Stroke {
    match state {
        0 => line(palette::STICK, 0.7),
        1 => line(palette::INK, 0.5),
        2 => dashed(palette::INK, 0.45, Dash::Long),
        _ => dashed(palette::SECONDARY, 0.45, Dash::Chain),
    }
}

/// The states two to a row, and the field of what is allowed.
fn key(
    canvas: &mut Canvas,
    first: &SeatDecay,
    states: &[(&str, &SeatDecay, PerBand<Option<f64>>)],
) {
    let column = (SIZE.x - 21.0) / 2.0;
    let words = |canvas: &mut Canvas, at: Point, says: &str, wide: f64| {
        let says = typeface::fit(says, LETTERS, Weight::Regular, wide - SAMPLE - 4.0);
        let at = at + DVec2::X * (SAMPLE + 2.0);
        canvas.text(Text::new(says, at, LETTERS).middle_baseline());
    };
    for (index, (name, ..)) in states.iter().enumerate() {
        let place = DVec2::new(16.0 + column * (index % 2) as f64, 6.0 + ROW * (index / 2) as f64);
        canvas.sample(place, SAMPLE, stroke(index));
        words(canvas, place, &format!("{name}, mean of the speakers"), column);
    }
    let at = DVec2::new(16.0, 6.0 + ROW * states.len().div_ceil(2) as f64);
    let field = Rect::around(at + DVec2::X * (SAMPLE / 2.0), DVec2::new(SAMPLE, 2.8));
    canvas.rect(field, Some(palette::TOLERANCE), Some(edge()));
    words(canvas, at, &tolerance(&first.criterion), SIZE.x - 21.0);
}
