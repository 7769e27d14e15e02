//! Colours for numbers over a field, in even steps, and the bar that says what they stand for.

use super::contour::GridField;
use crate::canvas::{Canvas, Colour, Outline, Point, Rect, Text};
use crate::plot::palette::{self, line};
use glam::DVec2;

/// Even steps of a number, a colour for each and one for all that is below.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Colormap {
    /// Least number of each colour but the first, rising.
    edges: Vec<f64>,
    /// One for each step, the lowest first.
    colours: Vec<Colour>,
}

impl Colormap {
    /// So many colours in such steps up to a level, darker for more.
    pub(crate) fn level(highest: f64, step: f64, colours: usize) -> Self {
        let last = colours.saturating_sub(1);
        Self {
            edges: (0..last).map(|i| highest - step * (last - i) as f64).collect(),
            colours: (0..colours).map(|index| palette::level(index, colours)).collect(),
        }
    }

    /// So many colours in such steps from the best figure on, where less is better; darker for less.
    pub(crate) fn cost(best: f64, step: f64, colours: usize) -> Self {
        Self {
            edges: (1..colours).map(|i| best + step * i as f64).collect(),
            colours: (0..colours).rev().map(|index| palette::worth(index, colours)).collect(),
        }
    }

    /// So many colours of energy in such steps from a level on, darker for more.
    pub(crate) fn energy(lowest: f64, step: f64, colours: usize) -> Self {
        Self {
            edges: (1..colours).map(|i| lowest + step * (i - 1) as f64).collect(),
            colours: (0..colours).map(|index| palette::energy(index, colours)).collect(),
        }
    }

    /// The colour of a number.
    pub(crate) fn colour(&self, number: f64) -> Colour {
        let step = self.edges.iter().filter(|edge| **edge <= number).count();
        self.colours.get(step).copied().unwrap_or(palette::PAPER)
    }

    /// Fills a field, with a fine line where one colour becomes the next.
    pub(crate) fn fill(&self, canvas: &mut Canvas, field: &GridField<'_>) {
        let all = [f64::NEG_INFINITY].into_iter().chain(self.edges.iter().copied());
        for (step, (least, colour)) in all.zip(&self.colours).enumerate() {
            let rings = field.contours(least);
            if rings.is_empty() {
                continue;
            }
            let edge = line(palette::between_shades(*colour), 0.12);
            let edge = (0 < step).then_some(edge);
            canvas.shape(Outline::Rings(rings), Some(*colour), edge);
        }
    }

    /// Draws the bar from a corner, with a figure where each colour begins.
    pub(crate) fn bar(&self, canvas: &mut Canvas, title: &str, space: Rect) {
        canvas.text(Text::new(title, space.min + DVec2::Y * 2.0, 2.5).semibold());
        let wide = space.size().x / self.colours.len().max(1) as f64;
        for (step, colour) in self.colours.iter().enumerate() {
            let min = space.min + DVec2::new(wide * step as f64, 4.2);
            let field = Rect { min, max: min + DVec2::new(wide, 4.2) };
            canvas.rect(field, Some(*colour), Some(line(palette::RULE, 0.15)));
            if let Some(edge) = step.checked_sub(1).and_then(|i| self.edges.get(i)) {
                let at = Point::new(min.x, field.max.y + 3.2);
                canvas.text(Text::new(figure(*edge), at, 2.3).secondary().centred());
            }
        }
    }
}

/// Fills the cells of a grid over a rectangle, row by row; neighbours of one colour in a row become
/// one field.
pub(crate) fn fill_cells(
    canvas: &mut Canvas,
    inside: Rect,
    [rows, columns]: [usize; 2],
    colour: impl Fn(usize, usize) -> Option<Colour>,
) {
    let size = inside.size() / DVec2::new(columns as f64, rows as f64);
    for row in 0..rows {
        let colours: Vec<Option<Colour>> = (0..columns).map(|column| colour(row, column)).collect();
        let mut from = 0;
        for run in colours.chunk_by(|a, b| a == b) {
            let to = from + run.len();
            let corner = |column: usize, row: usize| {
                inside.min + size * DVec2::new(column as f64, row as f64)
            };
            // A little under the next row, so that no paper shines through between them.
            let under = DVec2::new(0.0, if row + 1 < rows { 0.06 } else { 0.0 });
            let field = Rect { min: corner(from, row), max: corner(to, row + 1) + under };
            if let Some(fill) = run[0] {
                canvas.rect(field, Some(fill), None);
            }
            from = to;
        }
    }
}

/// Height of the bar with its title.
pub(crate) const BAR: f64 = 13.0;

fn figure(value: f64) -> String {
    let text = if (value - value.round()).abs() < 1e-6 {
        format!("{value:.0}")
    } else if (2.0 * value - (2.0 * value).round()).abs() < 1e-6 {
        format!("{value:.1}")
    } else {
        format!("{value:.2}")
    };
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        return "0".to_owned();
    }
    text.replace('-', "\u{2212}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lightness(Colour(red, green, blue): Colour) -> f64 {
        // Relative luminance, ITU-R BT.709 weights (from memory), near enough without its curve.
        0.2126 * f64::from(red) + 0.7152 * f64::from(green) + 0.0722 * f64::from(blue)
    }

    /// Without colour vision and in grey the order of colours is still seen.
    #[test]
    fn colours_get_darker_step_by_step() {
        let level = Colormap::level(0.0, 5.0, 10);
        assert_eq!((level.edges.len(), level.colours.len()), (9, 10));
        assert!(level.colours.windows(2).all(|two| lightness(two[0]) > lightness(two[1]) + 10.0));
        let cost = Colormap::cost(4.0, 0.5, 8);
        assert!(cost.colours.windows(2).all(|two| lightness(two[0]) + 5.0 < lightness(two[1])));
        assert_eq!(cost.colour(4.2), cost.colours[0]);
        assert_eq!(cost.colour(30.0), cost.colours[7]);
    }

    #[test]
    fn figures_are_short_and_nought_has_no_sign() {
        assert_eq!([-12.0, 0.0, -0.0, 4.5, 4.25].map(figure), ["−12", "0", "0", "4.5", "4.25"]);
    }
}
