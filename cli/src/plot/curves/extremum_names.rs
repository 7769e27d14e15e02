//! Names of peaks above a curve and of dips below it, each with a line to its place.

use crate::canvas::{Canvas, Point, Text, Weight, label_row, typeface};
use crate::format::level;
use crate::plot::axes::Axes;
use crate::plot::palette::{self, line};

/// Peaks, and dips, that are named in a chart.
const NAMED: usize = 5;
/// Size of the letters.
const LETTERS: f64 = 2.0;
/// From one line of a name to the next.
const LINE: f64 = 2.6;
/// Between names.
const APART: f64 = 1.2;

/// A peak or a dip.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NamedExtremum {
    /// Frequency, hertz.
    pub(crate) hz: f64,
    /// Level against the octave about it, decibels: positive for a peak.
    pub(crate) prominence_db: f64,
    /// Level on the axis, decibels.
    pub(crate) level_db: f64,
    /// What likely makes it.
    pub(crate) cause: Option<String>,
}

/// Names the largest peaks in a row above the levels of the curve, and the largest dips below them.
pub(crate) fn names(
    canvas: &mut Canvas,
    axes: &Axes,
    levels_db: [f64; 2],
    found: &[NamedExtremum],
) {
    let (peaks, dips): (Vec<&NamedExtremum>, Vec<&NamedExtremum>) =
        found.iter().partition(|extreme| 0.0 < extreme.prominence_db);
    row(canvas, axes, levels_db[1], peaks);
    row(canvas, axes, levels_db[0], dips);
}

/// One row beyond a level that the curve keeps to.
fn row(canvas: &mut Canvas, axes: &Axes, level_db: f64, mut found: Vec<&NamedExtremum>) {
    let is_above = 0.0 < level_db;
    let end = axes.y(level_db);
    found.sort_by(|a, b| b.prominence_db.abs().total_cmp(&a.prominence_db.abs()));
    found.truncate(NAMED);
    found.sort_by(|a, b| a.hz.total_cmp(&b.hz));
    let lines: Vec<Vec<String>> = found.iter().map(|extreme| lines(extreme)).collect();
    let wide = |line: &String| typeface::width(line, LETTERS, Weight::Regular);
    let half = |lines: &Vec<String>| 0.5 * lines.iter().map(wide).fold(0.0, f64::max) + 0.5 * APART;
    let halves: Vec<f64> = lines.iter().map(half).collect();
    let wanted: Vec<f64> = found.iter().map(|extreme| axes.x(extreme.hz)).collect();
    let space = axes.space;
    let placed = label_row::along(&wanted, &halves, space.min.x, space.max.x);
    for ((extreme, lines), x) in found.iter().zip(lines).zip(placed) {
        // Peaks have their last line next to the curve, dips their first.
        let first = if is_above {
            end - 0.9 - LINE * (lines.len() - 1) as f64
        } else {
            end + LETTERS + 0.8
        };
        let place = axes.at(extreme.hz, extreme.level_db);
        canvas.polyline(vec![place, Point::new(x, end)], line(palette::SECONDARY, 0.12));
        for (index, says) in lines.into_iter().enumerate() {
            let at = Point::new(x, first + LINE * index as f64);
            canvas.text(Text::new(says, at, LETTERS).centred().haloed());
        }
    }
}

fn lines(extreme: &NamedExtremum) -> Vec<String> {
    let figures = format!("{:.0} Hz, {} dB", extreme.hz, level::difference(extreme.prominence_db));
    [Some(figures), extreme.cause.clone()].into_iter().flatten().collect()
}
