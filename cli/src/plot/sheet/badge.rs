//! The numbers at bounce points: a speaker's colour, ringed where the limit is exceeded.

use crate::canvas::{Canvas, Outline, Point, Rect, Text, Weight, typeface};
use crate::plot::data::input::LimitVerdict;
use crate::plot::groups;
use crate::plot::palette::{self, SpeakerStyle, line};
use glam::DVec2;

/// A number to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Badge {
    /// Its figures or letters.
    pub(crate) content: String,
    /// Whose path.
    pub(crate) style: SpeakerStyle,
    /// Verdict of the limit on the path.
    pub(crate) verdict: LimitVerdict,
    /// First-order numbers are filled, later ones only outlined.
    pub(crate) first_order: bool,
}

/// Size of the figures.
const FIGURES: f64 = 2.2;
/// Height of a tag.
pub(crate) const HEIGHT: f64 = 3.5;

impl Badge {
    /// Its width and height, ring included.
    pub(crate) fn size(&self) -> DVec2 {
        let figures = typeface::width(&self.content, FIGURES, Weight::Semibold);
        DVec2::new((figures + 1.5).max(HEIGHT), HEIGHT)
    }

    /// Draws it around a middle.
    pub(crate) fn draw(&self, canvas: &mut Canvas, middle: Point) {
        self.draw_scaled(canvas, middle, 1.0);
    }

    /// Draws it smaller around a middle.
    pub(crate) fn draw_scaled(&self, canvas: &mut Canvas, middle: Point, scale: f64) {
        match self.number() {
            Some(number) => {
                canvas.group(groups::path(number), |canvas| self.paint(canvas, middle, scale));
            }
            None => self.paint(canvas, middle, scale),
        }
    }

    /// The number of the path it belongs to: `45` of `45a`; none where it is a letter.
    fn number(&self) -> Option<String> {
        let number = self.content.trim_end_matches(|letter: char| !letter.is_ascii_digit());
        (!number.is_empty()).then(|| number.to_owned())
    }

    fn paint(&self, canvas: &mut Canvas, middle: Point, scale: f64) {
        let whole = Rect::around(middle, self.size() * scale);
        let body = whole.grown(-0.3);
        let corner = |rect: Rect| rect.size().y / 2.0;
        if self.verdict == LimitVerdict::Over {
            let ring = whole.grown(-0.08);
            canvas.shape(
                Outline::Rect { rect: ring, corner: corner(ring) },
                Some(palette::PAPER),
                Some(line(palette::OVER, 0.28)),
            );
        }
        let body = if self.verdict == LimitVerdict::Over { body.grown(-0.12) } else { body };
        let fill = if self.first_order { self.style.badge_fill } else { palette::PAPER };
        let ink = if self.first_order { self.style.badge_ink } else { palette::INK };
        canvas.shape(
            Outline::Rect { rect: body, corner: corner(body) },
            Some(fill),
            Some(line(self.style.colour, 0.2)),
        );
        let figures =
            Text::new(self.content.clone(), middle, FIGURES * scale).semibold().coloured(ink);
        canvas.text(figures.centred().middle_baseline());
    }
}
