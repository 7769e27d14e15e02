//! Lines of text.

use super::palette::{self, Colour};
use super::{Point, typeface};

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Text {
    /// What it says.
    pub(crate) content: String,
    /// Its anchor on the baseline.
    pub(crate) at: Point,
    /// Size of the type in millimetres.
    pub(crate) size: f64,
    /// Regular or semibold.
    pub(crate) weight: Weight,
    /// Its colour.
    pub(crate) colour: Colour,
    /// Which part of it is at the anchor.
    pub(crate) anchor: Anchor,
    /// Whether it reads upward, a quarter turn to the left.
    pub(crate) turned: bool,
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

/// Which part of a text is at its anchor.
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
            turned: false,
            halo: false,
        }
    }

    /// Semibold.
    pub(crate) fn strong(self) -> Self {
        Self { weight: Weight::Semibold, ..self }
    }

    /// In the colour of second rank.
    pub(crate) fn quiet(self) -> Self {
        self.coloured(palette::QUIET)
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
    pub(crate) fn ending_here(self) -> Self {
        self.anchored(Anchor::End)
    }

    /// Reading upward.
    pub(crate) fn upward(self) -> Self {
        Self { turned: true, ..self }
    }

    /// With a white edge.
    pub(crate) fn with_halo(self) -> Self {
        Self { halo: true, ..self }
    }

    /// Its capitals centred on the anchor's height instead of standing on it.
    pub(crate) fn across_middle(self) -> Self {
        let shift = typeface::CAPITAL * self.size / 2.0;
        let by = if self.turned { Point::new(shift, 0.0) } else { Point::new(0.0, shift) };
        Self { at: self.at + by, ..self }
    }
}
