//! Lines of text.

use super::palette::{self, Colour};
use super::{Point, typeface};

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Text {
    /// Its letters.
    pub(crate) content: String,
    /// Its anchor on the baseline.
    pub(crate) at: Point,
    /// Size of the type in millimetres.
    pub(crate) size: f64,
    /// Regular or semibold.
    pub(crate) weight: Weight,
    /// Its colour.
    pub(crate) colour: Colour,
    /// Part of it that is at the anchor.
    pub(crate) anchor: Anchor,
    /// Whether it reads rotated, a quarter turn to the left.
    pub(crate) rotated: bool,
    /// Whether it has a white edge that keeps it readable across lines.
    pub(crate) halo: bool,
}

/// Weight of the type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Weight {
    /// For reading.
    Regular,
    /// For headings and numbers.
    Semibold,
}

/// Part of a text that is at its anchor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

impl Text {
    /// Text in ink from the left, to be changed with struct update or the methods below.
    pub(crate) fn new(content: impl Into<String>, at: Point, size: f64) -> Self {
        Self {
            content: content.into(),
            at,
            size,
            weight: Weight::Regular,
            colour: palette::INK,
            anchor: Anchor::Start,
            rotated: false,
            halo: false,
        }
    }

    /// Semibold.
    pub(crate) fn semibold(self) -> Self {
        Self { weight: Weight::Semibold, ..self }
    }

    /// In the colour of second rank.
    pub(crate) fn secondary(self) -> Self {
        self.coloured(palette::SECONDARY)
    }

    /// In another colour.
    pub(crate) fn coloured(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }

    /// With another part of it at the anchor.
    pub(crate) fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// Its middle at the anchor.
    pub(crate) fn centred(self) -> Self {
        self.anchored(Anchor::Middle)
    }

    /// Its end at the anchor.
    pub(crate) fn anchor_end(self) -> Self {
        self.anchored(Anchor::End)
    }

    /// Reading rotated.
    pub(crate) fn rotated(self) -> Self {
        Self { rotated: true, ..self }
    }

    /// With a white edge.
    pub(crate) fn haloed(self) -> Self {
        Self { halo: true, ..self }
    }

    /// Its capitals centred on the anchor's height instead of standing on it.
    pub(crate) fn middle_baseline(self) -> Self {
        let shift = typeface::CAPITAL * self.size / 2.0;
        let by = if self.rotated { Point::new(shift, 0.0) } else { Point::new(0.0, shift) };
        Self { at: self.at + by, ..self }
    }
}
