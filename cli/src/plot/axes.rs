//! A pair of axes: milliseconds to the right, decibels upward.

use crate::canvas::{Canvas, Point, Rect, Text};
use crate::plot::palette::{self, line};
use glam::DVec2;

/// Size of the figures at an axis.
const FIGURES: f64 = 2.4;

/// Axes at a place on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Axes {
    /// Where the curve is.
    pub(crate) space: Rect,
    /// First and last time, milliseconds.
    pub(crate) time_ms: [f64; 2],
    /// Lowest and highest level, decibels.
    pub(crate) level_db: [f64; 2],
}

impl Axes {
    /// Position of a time across the sheet.
    pub(crate) fn x(&self, time_ms: f64) -> f64 {
        let [first, last] = self.time_ms;
        self.space.min.x + self.space.size().x * (time_ms - first) / (last - first)
    }

    /// Position of a level down the sheet.
    pub(crate) fn y(&self, level_db: f64) -> f64 {
        let [low, high] = self.level_db;
        self.space.max.y - self.space.size().y * (level_db - low) / (high - low)
    }

    /// A time and level on the sheet.
    pub(crate) fn at(&self, time_ms: f64, level_db: f64) -> Point {
        Point::new(self.x(time_ms), self.y(level_db))
    }

    /// Paints the field and its grid.
    pub(crate) fn grid(&self, canvas: &mut Canvas, time_step: f64, level_step: f64) {
        let Rect { min, max } = self.space;
        for time in steps(self.time_ms, time_step) {
            canvas.polyline(
                vec![Point::new(self.x(time), min.y), Point::new(self.x(time), max.y)],
                line(palette::RULE, 0.12),
            );
        }
        for level in steps(self.level_db, level_step) {
            canvas.polyline(
                vec![Point::new(min.x, self.y(level)), Point::new(max.x, self.y(level))],
                line(palette::RULE, 0.12),
            );
        }
    }

    /// Paints the frame and writes figures and units.
    pub(crate) fn figures(&self, canvas: &mut Canvas, time_step: f64, level_step: f64) {
        let Rect { min, max } = self.space;
        self.marks(canvas, time_step, level_step);
        let under = Point::new(max.x, max.y + 8.0);
        canvas.text(
            Text::new("milliseconds after the direct sound", under, FIGURES).quiet().ending_here(),
        );
        let beside = Point::new(min.x - 10.5, self.space.middle().y);
        let level = Text::new("level over 1–8 kHz, dB (0 at the direct sound)", beside, FIGURES);
        canvas.text(level.quiet().centred().upward());
        canvas.lines.extend([[min, min + DVec2::X * self.space.size().x]]);
    }

    /// Paints the frame and writes the figures alone.
    pub(crate) fn marks(&self, canvas: &mut Canvas, time_step: f64, level_step: f64) {
        let Rect { min, max } = self.space;
        canvas.rect(self.space, None, Some(line(palette::INK, 0.25)));
        for time in steps(self.time_ms, time_step) {
            let x = self.x(time);
            canvas.polyline(
                vec![Point::new(x, max.y), Point::new(x, max.y + 1.0)],
                line(palette::INK, 0.2),
            );
            canvas.text(Text::new(figure(time), Point::new(x, max.y + 3.8), FIGURES).centred());
        }
        for level in steps(self.level_db, level_step) {
            let y = self.y(level);
            canvas.polyline(
                vec![Point::new(min.x - 1.0, y), Point::new(min.x, y)],
                line(palette::INK, 0.2),
            );
            let figure: Text = Text::new(figure(level), Point::new(min.x - 1.8, y), FIGURES);
            canvas.text(figure.ending_here().across_middle());
        }
    }
}

/// Multiples of a step within a range.
fn steps([first, last]: [f64; 2], step: f64) -> impl Iterator<Item = f64> {
    let start = (first / step).ceil();
    (0_u8..=200)
        .map(move |i| (start + f64::from(i)) * step)
        .take_while(move |&at| at <= last + 1e-9)
}

fn figure(value: f64) -> String {
    format!("{value:.0}").replace("-0", "0").replace('-', "−")
}
