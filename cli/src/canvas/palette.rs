//! Colours of paper and ink, plain lines, and colours between two others.

use super::{Dash, Stroke};

/// An opaque colour, red, green, blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Colour(pub(crate) u8, pub(crate) u8, pub(crate) u8);

impl Colour {
    /// The colour as SVG and CSS write it: `#1d2126`.
    pub(crate) fn hex(self) -> String {
        let Self(red, green, blue) = self;
        format!("#{red:02x}{green:02x}{blue:02x}")
    }
}

/// Paper.
pub(crate) const PAPER: Colour = Colour(255, 255, 255);
/// Text and outlines.
pub(crate) const INK: Colour = Colour(29, 33, 38);
/// Text of second rank.
pub(crate) const SECONDARY: Colour = Colour(88, 95, 103);
/// Dimension lines.
pub(crate) const DIMENSION: Colour = Colour(110, 117, 125);
/// Rules and grids.
pub(crate) const RULE: Colour = Colour(205, 209, 213);
/// Faint fields behind something.
pub(crate) const VEIL: Colour = Colour(238, 240, 241);
/// A colour thinned with paper, for what a line leaves uncertain.
pub(crate) fn faint(Colour(red, green, blue): Colour) -> Colour {
    let thin = |part: u8| 255 - (255 - part) / 4;
    Colour(thin(red), thin(green), thin(blue))
}

/// A plain line.
pub(crate) fn line(colour: Colour, width: f64) -> Stroke {
    Stroke { colour, width, dash: Dash::Solid }
}

/// An interrupted line.
pub(crate) fn dashed(colour: Colour, width: f64, dash: Dash) -> Stroke {
    Stroke { colour, width, dash }
}

/// A hairline for leaders and witness lines.
pub(crate) fn hairline() -> Stroke {
    line(DIMENSION, 0.13)
}

/// A fine line about a shade: the shade a little nearer to ink.
pub(crate) fn between_shades(shade: Colour) -> Colour {
    between(shade, INK, 1, 5)
}

/// A colour on the way from one to another, in even steps.
pub(crate) fn between(from: Colour, to: Colour, step: usize, steps: usize) -> Colour {
    let part = step as f64 / steps.saturating_sub(1).max(1) as f64;
    let mix = |from: u8, to: u8| {
        let value = f64::from(from) + (f64::from(to) - f64::from(from)) * part;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
        let value = value.round() as u8;
        value
    };
    Colour(mix(from.0, to.0), mix(from.1, to.1), mix(from.2, to.2))
}
