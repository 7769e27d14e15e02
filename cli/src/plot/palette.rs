//! Colours of rooms and sound by their role, and the line style of each speaker.
//!
//! The speakers' colours differ in lightness as well as in hue, and their dashes differ too, so
//! that they can be told apart without colour vision and on a grey print.

use crate::canvas::palette::between;
pub(crate) use crate::canvas::palette::{
    DIMENSION, INK, PAPER, RULE, SECONDARY, VEIL, between_shades, dashed, faint, hairline, line,
};
use crate::canvas::{Colour, Dash};

/// Arrivals without a number.
pub(crate) const STICK: Colour = Colour(140, 146, 153);
/// Cut through the walls.
pub(crate) const WALL: Colour = Colour(70, 76, 84);
/// The room's floor on the plan, the room's air in the section.
pub(crate) const FLOOR: Colour = Colour(252, 251, 248);
/// Furniture seen from outside.
pub(crate) const FURNITURE: Colour = Colour(243, 238, 228);
/// Outline of furniture.
pub(crate) const FURNITURE_EDGE: Colour = Colour(144, 134, 116);
/// Treatment: fill of panels.
pub(crate) const PANEL: Colour = Colour(221, 233, 223);
/// Treatment: outlines and hatching.
pub(crate) const PANEL_EDGE: Colour = Colour(58, 112, 88);
/// A zone that makes a reflection and is not covered.
pub(crate) const ZONE: Colour = Colour(247, 205, 184);
/// Tolerance of a recommendation.
pub(crate) const TOLERANCE: Colour = Colour(222, 235, 224);
/// Its edges.
pub(crate) const TOLERANCE_EDGE: Colour = Colour(58, 112, 88);
/// Levels above a limit.
pub(crate) const OVER: Colour = Colour(158, 32, 40);

/// The way of a ray behind its head.
pub(crate) const RAY: Colour = Colour(226, 190, 160);
/// The head of a ray.
pub(crate) const RAY_HEAD: Colour = Colour(206, 92, 20);

/// Style of one speaker's lines and numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SpeakerStyle {
    /// Colour of its lines.
    pub(crate) colour: Colour,
    /// Interruption of its lines.
    pub(crate) dash: Dash,
    /// Colour behind its numbers.
    pub(crate) badge_fill: Colour,
    /// Colour of its numbers.
    pub(crate) badge_ink: Colour,
}

const STYLES: [SpeakerStyle; 4] = [
    SpeakerStyle {
        colour: Colour(22, 70, 128),
        dash: Dash::Solid,
        badge_fill: Colour(22, 70, 128),
        badge_ink: PAPER,
    },
    SpeakerStyle {
        colour: Colour(217, 121, 16),
        dash: Dash::Long,
        badge_fill: Colour(255, 222, 173),
        badge_ink: INK,
    },
    SpeakerStyle {
        colour: Colour(126, 36, 96),
        dash: Dash::Chain,
        badge_fill: Colour(126, 36, 96),
        badge_ink: PAPER,
    },
    SpeakerStyle {
        colour: Colour(60, 158, 190),
        dash: Dash::Short,
        badge_fill: Colour(200, 232, 242),
        badge_ink: INK,
    },
];

/// The style of what two speakers have in one place.
pub(crate) const SHARED: SpeakerStyle =
    SpeakerStyle { colour: SECONDARY, dash: Dash::Solid, badge_fill: SECONDARY, badge_ink: PAPER };

/// The style of a speaker by its place in the picture; a fifth looks like the first again.
pub(crate) fn speaker(index: usize) -> SpeakerStyle {
    STYLES[index % STYLES.len()]
}

/// The third and the fourth state of a comparison: light enough to be seen within the second's line.
const STATES: [Colour; 2] = [Colour(58, 150, 100), Colour(148, 118, 206)];

/// The line of a state of a comparison: every later one is finer, so that it is seen on those before it where
/// they lie on each other.
pub(crate) fn state(index: usize) -> crate::canvas::Stroke {
    match index {
        0 => line(STICK, 1.1),
        1 => line(INK, 0.7),
        2 => dashed(STATES[0], 0.42, Dash::Long),
        _ => dashed(STATES[1], 0.3, Dash::Short),
    }
}

/// A shade of worth, from straw to a green that ink is still read on.
pub(crate) fn worth(step: usize, steps: usize) -> Colour {
    between(Colour(252, 246, 222), Colour(84, 156, 128), step, steps)
}

/// Places where a layout cannot be.
pub(crate) const NO_FIT: Colour = Colour(226, 226, 228);

/// A shade of energy, from paper to nearly ink.
pub(crate) fn energy(step: usize, steps: usize) -> Colour {
    between(Colour(250, 248, 244), Colour(52, 36, 98), step, steps)
}

/// A shade of level, from cream over a greyed blue to a deep one: ever darker, so that it reads without
/// colour vision and on a grey print.
pub(crate) fn level(step: usize, steps: usize) -> Colour {
    let last = steps.saturating_sub(1).max(1);
    let (pale, middle, deep) = (Colour(253, 249, 236), Colour(131, 168, 186), Colour(35, 34, 84));
    if 2 * step <= last {
        between(pale, middle, 2 * step, last + 1)
    } else {
        between(middle, deep, 2 * step - last, last + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast of two colours: WCAG 2.2, definitions (from memory).
    fn contrast(one: Colour, other: Colour) -> f64 {
        let linear = |part: u8| {
            let part = f64::from(part) / 255.0;
            if part <= 0.040_45 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
        };
        let luminance = |Colour(red, green, blue): Colour| {
            0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue) + 0.05
        };
        let (one, other) = (luminance(one), luminance(other));
        one.max(other) / one.min(other)
    }

    #[test]
    fn what_a_drawing_cannot_do_without_stands_out() {
        assert!((contrast(Colour(0, 0, 0), Colour(255, 255, 255)) - 21.0).abs() < 1e-9);
        let styles = STYLES.map(|style| (style.colour, PAPER));
        let others = [
            (STICK, PAPER),
            (DIMENSION, PAPER),
            (WALL, FLOOR),
            (PANEL_EDGE, PANEL),
            (FURNITURE_EDGE, FURNITURE),
            (TOLERANCE_EDGE, TOLERANCE),
            (OVER, PAPER),
            (RAY_HEAD, FLOOR),
            (STATES[0], PAPER),
            (STATES[1], PAPER),
            (STATES[0], INK),
            (STATES[1], INK),
        ];
        for (colour, beneath) in styles.into_iter().chain(others) {
            let ratio = contrast(colour, beneath);
            // WCAG 2.2, 1.4.11: non-text contrast.
            assert!(ratio >= 3.0, "{colour:?} on {beneath:?}: {ratio:.2}");
        }
        // Its text: 1.4.3.
        for (ink, beneath) in STYLES.map(|style| (style.badge_ink, style.badge_fill)) {
            assert!(contrast(ink, beneath) >= 4.5, "{ink:?} on {beneath:?}");
        }
        for ink in [INK, SECONDARY] {
            assert!(contrast(ink, PAPER) >= 4.5 && contrast(ink, FLOOR) >= 4.5, "{ink:?}");
        }
    }
}
