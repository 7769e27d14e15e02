//! Shades for figures over a field, in even steps, and the bar that says what they stand for.

use crate::canvas::{Canvas, Colour, Outline, Point, Rect, Text};
use crate::plot::contour::Field;
use crate::plot::palette::{self, line};
use glam::DVec2;

/// Even steps from a figure on, a shade for each and one for all that is below.
pub(crate) struct LevelShades {
    /// Where each shade but the first begins, rising.
    pub(crate) edges: Vec<f64>,
    /// For each shade, the lowest first.
    pub(crate) colours: Vec<Colour>,
}

impl LevelShades {
    /// So many shades in such steps up to a figure, darker for more.
    pub(crate) fn up_to(highest: f64, step: f64, shades: usize) -> Self {
        let last = shades.saturating_sub(1);
        Self {
            edges: (0..last).map(|i| highest - step * (last - i) as f64).collect(),
            colours: (0..shades).map(|shade| palette::level(shade, shades)).collect(),
        }
    }

    /// So many shades in such steps from a figure on, darker for less.
    pub(crate) fn down_from_best(best: f64, step: f64, shades: usize) -> Self {
        Self {
            edges: (1..shades).map(|i| best + step * i as f64).collect(),
            colours: (0..shades).rev().map(|shade| palette::worth(shade, shades)).collect(),
        }
    }

    /// Fills the field, with a fine line where one shade becomes the next.
    pub(crate) fn fill(&self, canvas: &mut Canvas, field: &Field<'_>) {
        let all = [f64::NEG_INFINITY].into_iter().chain(self.edges.iter().copied());
        for (shade, (least, colour)) in all.zip(&self.colours).enumerate() {
            let rings = field.above(least);
            if rings.is_empty() {
                continue;
            }
            let edge = line(palette::between_shades(*colour), 0.12);
            let edge = (0 < shade).then_some(edge);
            canvas.shape(Outline::Rings(rings), Some(*colour), edge);
        }
    }

    /// Draws the bar from a corner, with a figure where each shade begins.
    pub(crate) fn bar(&self, canvas: &mut Canvas, says: &str, space: Rect) {
        canvas.text(Text::new(says, space.min + DVec2::Y * 2.0, 2.5).strong());
        let wide = space.size().x / self.colours.len().max(1) as f64;
        for (shade, colour) in self.colours.iter().enumerate() {
            let min = space.min + DVec2::new(wide * shade as f64, 4.2);
            let field = Rect { min, max: min + DVec2::new(wide, 4.2) };
            canvas.rect(field, Some(*colour), Some(line(palette::RULE, 0.15)));
            if let Some(edge) = shade.checked_sub(1).and_then(|i| self.edges.get(i)) {
                let at = Point::new(min.x, field.max.y + 3.2);
                canvas.text(Text::new(figure(*edge), at, 2.3).quiet().centred());
            }
        }
    }
}

/// Height of the bar with its words.
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

    /// Without colour vision and in grey the order of shades is still seen.
    #[test]
    fn shades_get_darker_step_by_step() {
        let level = LevelShades::up_to(0.0, 5.0, 10);
        assert_eq!((level.edges.len(), level.colours.len()), (9, 10));
        assert!(level.colours.windows(2).all(|two| lightness(two[0]) > lightness(two[1]) + 10.0));
        let worth = LevelShades::down_from_best(4.0, 0.5, 8);
        assert!(worth.colours.windows(2).all(|two| lightness(two[0]) + 5.0 < lightness(two[1])));
    }

    #[test]
    fn figures_are_short_and_nought_has_no_sign() {
        assert_eq!([-12.0, 0.0, -0.0, 4.5, 4.25].map(figure), ["−12", "0", "0", "4.5", "4.25"]);
    }
}
