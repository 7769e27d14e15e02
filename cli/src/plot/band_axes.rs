//! A pair of axes: octave bands to the right, seconds upward.

use crate::canvas::{Canvas, Point, Rect, Text};
use crate::plot::data::decay_view::Time;
use crate::plot::palette::{self, line};
use earline_engine::medium::bands::NOMINAL_HZ;
use glam::DVec2;

/// Size of the figures at an axis.
const FIGURES: f64 = 2.4;
/// From the first and last band to the edges, in octaves.
const BESIDE: f64 = 0.45;

/// Axes at a place on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BandAxes {
    /// Where the curves are.
    pub(crate) space: Rect,
    /// Longest time, seconds; the axis begins at nought.
    pub(crate) longest_s: f64,
}

impl BandAxes {
    /// Position of a frequency across the sheet.
    pub(crate) fn x(&self, hz: f64) -> f64 {
        let octaves = |hz: f64| (hz / NOMINAL_HZ[0]).log2();
        let all = octaves(NOMINAL_HZ[NOMINAL_HZ.len() - 1]) + 2.0 * BESIDE;
        self.space.min.x + self.space.size().x * (octaves(hz) + BESIDE) / all
    }

    /// Position of a time down the sheet.
    pub(crate) fn y(&self, time_s: f64) -> f64 {
        self.space.max.y - self.space.size().y * time_s / self.longest_s
    }

    /// A frequency and time on the sheet.
    pub(crate) fn at(&self, hz: f64, time_s: f64) -> Point {
        Point::new(self.x(hz), self.y(time_s))
    }

    /// Paints the field's grid.
    pub(crate) fn grid(&self, canvas: &mut Canvas) {
        let Rect { min, max } = self.space;
        for hz in NOMINAL_HZ {
            let x = self.x(hz);
            let ends = vec![Point::new(x, min.y), Point::new(x, max.y)];
            canvas.polyline(ends, line(palette::RULE, 0.12));
        }
        for time in self.steps() {
            let y = self.y(time);
            let ends = vec![Point::new(min.x, y), Point::new(max.x, y)];
            canvas.polyline(ends, line(palette::RULE, 0.12));
        }
    }

    /// Paints the frame and writes figures and units.
    pub(crate) fn figures(&self, canvas: &mut Canvas) {
        let Rect { min, max } = self.space;
        canvas.rect(self.space, None, Some(line(palette::INK, 0.25)));
        for hz in NOMINAL_HZ {
            let x = self.x(hz);
            let ends = vec![Point::new(x, max.y), Point::new(x, max.y + 1.0)];
            canvas.polyline(ends, line(palette::INK, 0.2));
            canvas.text(Text::new(hertz(hz), Point::new(x, max.y + 4.2), 2.6).strong().centred());
        }
        for time in self.steps() {
            let y = self.y(time);
            let ends = vec![Point::new(min.x - 1.0, y), Point::new(min.x, y)];
            canvas.polyline(ends, line(palette::INK, 0.2));
            let figure = Text::new(format!("{time:.1}"), Point::new(min.x - 1.8, y), FIGURES);
            canvas.text(figure.ending_here().across_middle());
        }
        let beside = Point::new(min.x - 9.5, self.space.middle().y);
        let what = Text::new("reverberation time T20, seconds", beside, FIGURES);
        canvas.text(what.quiet().centred().upward());
    }

    fn steps(&self) -> impl Iterator<Item = f64> {
        let longest = self.longest_s;
        let step = step_s(longest);
        (0_u8..=100).map(move |i| f64::from(i) * step).take_while(move |&at| at <= longest + 1e-9)
    }
}

/// The next round time that leaves a little air over the longest one shown.
pub(crate) fn longest_s(shown_s: f64) -> f64 {
    let wanted = (shown_s * 1.06).max(0.3);
    let step = step_s(wanted);
    (wanted / step).ceil() * step
}

fn step_s(longest_s: f64) -> f64 {
    [0.1, 0.2, 0.5, 1.0].into_iter().find(|step| longest_s / step <= 12.0).unwrap_or(2.0)
}

/// `63 Hz`, `4 kHz`.
pub(crate) fn hertz(hz: f64) -> String {
    if hz < 1000.0 { format!("{hz} Hz") } else { format!("{} kHz", hz / 1000.0) }
}

/// `0.37 ±0.01`.
pub(crate) fn with_error(time: &Time) -> String {
    // Rounded up, as in the terminal.
    let rounded = |error: f64| format!("{:.2}", (error * 100.0).ceil() / 100.0);
    let error = time.error_s.map_or("?".to_owned(), rounded);
    format!("{:.2} ±{error}", time.s)
}

/// Paints an error bar; one that is not known has none.
pub(crate) fn error_bar(canvas: &mut Canvas, axes: &BandAxes, x: f64, time: &Time, speaker: usize) {
    let Some(error) = time.error_s else { return };
    let stroke = line(palette::speaker(speaker).colour, 0.28);
    let ends = [time.s + error, time.s - error].map(|s| Point::new(x, axes.y(s)));
    canvas.polyline(ends.to_vec(), stroke);
    for end in ends {
        canvas.polyline(vec![end - DVec2::X * 0.9, end + DVec2::X * 0.9], stroke);
    }
}
