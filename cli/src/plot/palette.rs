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
pub(crate) const STICK: Colour = Colour(160, 166, 172);
/// Cut through the walls.
pub(crate) const WALL: Colour = Colour(70, 76, 84);
/// The room's floor on the plan, the room's air in the section.
pub(crate) const FLOOR: Colour = Colour(252, 251, 248);
/// Furniture seen from outside.
pub(crate) const FURNITURE: Colour = Colour(243, 238, 228);
/// Outline of furniture.
pub(crate) const FURNITURE_EDGE: Colour = Colour(158, 148, 130);
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
        colour: Colour(222, 125, 18),
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
const STATES: [Colour; 2] = [Colour(86, 186, 130), Colour(176, 150, 226)];

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
