//! A pair of axes: numbers across and up a part of the sheet, with grid, marks and figures.

use crate::canvas::{Canvas, Point, Rect, Text};
use crate::plot::palette::{self, line};

/// Size of the figures at an axis.
const FIGURES: f64 = 2.4;

/// Spacing of numbers along an axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Scale {
    /// Equal differences are equally long.
    Linear,
    /// Equal ratios are equally long.
    Log,
}

/// Numbers along a line, some of them marked.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Axis {
    scale: Scale,
    /// Numbers at the left and right, or at the bottom and top; an axis may run either way.
    pub(crate) range: [f64; 2],
    /// Marked numbers with what is written at them.
    ticks: Vec<(f64, String)>,
}

impl Axis {
    /// An axis of equal differences, without ticks.
    pub(crate) fn linear(range: [f64; 2]) -> Self {
        Self { scale: Scale::Linear, range, ticks: Vec::new() }
    }

    /// An axis of equal ratios between positive numbers, without ticks.
    pub(crate) fn log(range: [f64; 2]) -> Self {
        Self { scale: Scale::Log, range, ticks: Vec::new() }
    }

    /// With ticks at those of these numbers that lie on it.
    pub(crate) fn ticks(self, numbers: &[f64], figure: fn(f64) -> String) -> Self {
        let [low, high] = self.ends();
        let on_axis = numbers.iter().filter(|number| (low - 1e-9..=high + 1e-9).contains(*number));
        Self { ticks: on_axis.map(|&number| (number, figure(number))).collect(), ..self }
    }

    /// With ticks at the multiples of a step.
    pub(crate) fn every(self, step: f64, figure: fn(f64) -> String) -> Self {
        let [low, high] = self.ends();
        let first = (low / step).ceil();
        let multiples: Vec<f64> = (0_u8..=200)
            .map(|i| (first + f64::from(i)) * step)
            .take_while(|&at| at <= high + 1e-9)
            .collect();
        self.ticks(&multiples, figure)
    }

    /// Least and greatest number.
    fn ends(&self) -> [f64; 2] {
        let [first, last] = self.range;
        [first.min(last), first.max(last)]
    }

    /// Distance of a number from the start of an axis of this length.
    fn along(&self, number: f64, length: f64) -> f64 {
        let [first, last] = self.range;
        match self.scale {
            _ if first.total_cmp(&last).is_eq() => length / 2.0,
            Scale::Linear => length * (number - first) / (last - first),
            Scale::Log => length * (number / first).ln() / (last / first).ln(),
        }
    }
}

/// Axes at a place on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Axes {
    /// Field of the curves.
    pub(crate) space: Rect,
    /// From left to right.
    pub(crate) across: Axis,
    /// From bottom to top.
    pub(crate) up: Axis,
}

impl Axes {
    /// Position of a number across the sheet.
    pub(crate) fn x(&self, across: f64) -> f64 {
        self.space.min.x + self.across.along(across, self.space.size().x)
    }

    /// Position of a number down the sheet.
    pub(crate) fn y(&self, up: f64) -> f64 {
        self.space.max.y - self.up.along(up, self.space.size().y)
    }

    /// A pair of numbers on the sheet.
    pub(crate) fn at(&self, across: f64, up: f64) -> Point {
        Point::new(self.x(across), self.y(up))
    }

    /// A line from the bottom to the top of the field.
    pub(crate) fn vertical(&self, across: f64) -> Vec<Point> {
        let x = self.x(across);
        vec![Point::new(x, self.space.min.y), Point::new(x, self.space.max.y)]
    }

    /// A line from the left to the right of the field.
    pub(crate) fn horizontal(&self, up: f64) -> Vec<Point> {
        let y = self.y(up);
        vec![Point::new(self.space.min.x, y), Point::new(self.space.max.x, y)]
    }

    /// Paints a line of the grid at every tick.
    pub(crate) fn grid(&self, canvas: &mut Canvas) {
        for &(across, _) in &self.across.ticks {
            canvas.polyline(self.vertical(across), line(palette::RULE, 0.12));
        }
        for &(up, _) in &self.up.ticks {
            canvas.polyline(self.horizontal(up), line(palette::RULE, 0.12));
        }
    }

    /// Paints the frame, and a mark with its figure at every tick.
    pub(crate) fn marks(&self, canvas: &mut Canvas) {
        let Rect { min, max } = self.space;
        canvas.rect(self.space, None, Some(line(palette::INK, 0.25)));
        for (across, figure) in &self.across.ticks {
            let x = self.x(*across);
            let mark = vec![Point::new(x, max.y), Point::new(x, max.y + 1.0)];
            canvas.polyline(mark, line(palette::INK, 0.2));
            canvas.text(Text::new(figure, Point::new(x, max.y + 3.8), FIGURES).centred());
        }
        for (up, figure) in &self.up.ticks {
            let y = self.y(*up);
            let mark = vec![Point::new(min.x - 1.0, y), Point::new(min.x, y)];
            canvas.polyline(mark, line(palette::INK, 0.2));
            let figure = Text::new(figure, Point::new(min.x - 1.8, y), FIGURES);
            canvas.text(figure.anchor_end().middle_baseline());
        }
    }

    /// Writes quantities and units beside the axes; an empty one is left out.
    pub(crate) fn titles(&self, canvas: &mut Canvas, across: &str, up: &str) {
        let Rect { min, max } = self.space;
        if !across.is_empty() {
            let under = Point::new(max.x, max.y + 8.0);
            canvas.text(Text::new(across, under, FIGURES).secondary().anchor_end());
        }
        if !up.is_empty() {
            let beside = Point::new(min.x - 10.5, self.space.middle().y);
            canvas.text(Text::new(up, beside, FIGURES).secondary().centred().rotated());
        }
    }
}

/// `-20` as a figure: whole, with a real minus sign.
pub(crate) fn whole(number: f64) -> String {
    format!("{number:.0}").replace("-0", "0").replace('-', "−")
}

/// `+12` as a figure: whole, signed unless nought, with a real minus sign.
pub(crate) fn signed(number: f64) -> String {
    if number.abs() < 0.5 { "0".to_owned() } else { format!("{number:+.0}").replace('-', "−") }
}

/// `0.4` as a figure.
pub(crate) fn tenths(number: f64) -> String {
    format!("{number:.1}")
}

/// `63 Hz`, `4 kHz`.
pub(crate) fn hertz(hz: f64) -> String {
    if hz < 1000.0 { format!("{hz} Hz") } else { format!("{} kHz", hz / 1000.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_lie_where_the_scale_puts_them() {
        let axes = Axes {
            space: Rect::new(10.0, 20.0, 110.0, 70.0),
            across: Axis::log([10.0, 1000.0]),
            up: Axis::linear([30.0, -20.0]),
        };
        let at = axes.at(100.0, -20.0);
        assert!((at - Point::new(60.0, 20.0)).length() < 1e-9, "{at}");
        assert!((axes.y(30.0) - 70.0).abs() < 1e-9, "an axis may run downward");
    }

    #[test]
    fn ticks_lie_within_the_range() {
        let axis = Axis::linear([-7.0, 11.0]).every(5.0, whole);
        let written: Vec<&str> = axis.ticks.iter().map(|(_, figure)| figure.as_str()).collect();
        assert_eq!(written, ["−5", "0", "5", "10"]);
        let axis = Axis::log([15.0, 110.0]).ticks(&[10.0, 20.0, 100.0, 200.0], whole);
        assert_eq!(axis.ticks.len(), 2);
    }
}
