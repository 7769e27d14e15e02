//! A drawing on paper: what both SVG and PNG are made from.
//!
//! Positions are millimetres from the top left corner of the sheet, y downward.

use super::{Colour, Point, Rect, Text};
use glam::DVec2;

/// A sheet and everything on it, in the order of painting.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// File name without ending.
    pub(crate) name: &'static str,
    /// Title, read first by a screen reader.
    pub(crate) title: String,
    /// Width and height in the units of its items: millimetres on paper of its own size.
    pub(crate) size: DVec2,
    /// The paper that it is for.
    pub(crate) paper: Paper,
    /// Items, first painted first.
    pub(crate) items: Vec<Item>,
}

/// Paper for a drawing, which is put on the middle of it as large as it fits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Paper {
    /// As large as the drawing.
    AsDrawn,
    /// Letter paper, lying: 11 by 8½ inches.
    Letter,
}

impl Paper {
    /// Width and height of the paper for a drawing of a size, millimetres.
    pub(crate) fn size_mm(self, drawing: DVec2) -> DVec2 {
        match self {
            Self::AsDrawn => drawing,
            Self::Letter => DVec2::new(279.4, 215.9),
        }
    }

    /// Millimetres on this paper for a unit of a drawing of a size.
    pub(crate) fn mm_per_unit(self, drawing: DVec2) -> f64 {
        (self.size_mm(drawing) / drawing).min_element()
    }
}

/// One painted thing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Item {
    /// A line, area or both.
    Shape(Shape),
    /// A line of text.
    Text(Text),
    /// Things that belong together.
    Group {
        /// Name of the group.
        id: GroupId,
        /// Its items.
        items: Vec<Item>,
    },
    /// Things cut off at the edges of a rectangle.
    Clipped {
        /// Visible part of the sheet.
        to: Rect,
        /// The things.
        items: Vec<Item>,
    },
}

/// Name of a group of painted things, so that a page can tell groups apart: in SVG it becomes the
/// attribute `data-KIND="KEY"`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct GroupId {
    /// Kind of thing that the group shows.
    pub(crate) kind: &'static str,
    /// Identity within its kind.
    pub(crate) key: String,
}

/// Kind of a group that tells the scale of a sheet, which is true on its own paper only.
pub(crate) const SCALE: &str = "scale";

/// An outline with what fills it and what it is drawn with.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shape {
    /// Its form.
    pub(crate) outline: Outline,
    /// Colour inside.
    pub(crate) fill: Option<Colour>,
    /// Its line.
    pub(crate) stroke: Option<Stroke>,
}

/// The form of a shape.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outline {
    /// An open line through these points.
    Line(Vec<Point>),
    /// A closed line through these points.
    Polygon(Vec<Point>),
    /// Closed lines; what lies in an even number of them is not inside.
    Rings(Vec<Vec<Point>>),
    /// A circle.
    Circle {
        /// Its middle.
        centre: Point,
        /// Its radius in millimetres.
        radius: f64,
    },
    /// A rectangle.
    Rect {
        /// Its edges.
        rect: Rect,
        /// Radius of its corners in millimetres.
        corner: f64,
    },
}

/// Colour, width and dashes of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stroke {
    /// Its colour.
    pub(crate) colour: Colour,
    /// Its width in millimetres.
    pub(crate) width: f64,
    /// Its interruptions.
    pub(crate) dash: Dash,
}

/// Interruptions of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Dash {
    /// None.
    Solid,
    /// Long dashes.
    Long,
    /// Short dashes.
    Short,
    /// A dash and a dot.
    Chain,
}

impl Dash {
    /// Lengths of dashes and gaps in millimetres.
    pub(crate) fn pattern(self) -> &'static [f64] {
        match self {
            Self::Solid => &[],
            Self::Long => &[2.4, 1.0],
            Self::Short => &[1.1, 0.7],
            Self::Chain => &[3.0, 0.8, 0.5, 0.8],
        }
    }
}
