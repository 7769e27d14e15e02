//! A drawing on paper: what both SVG and PNG are made from.
//!
//! Positions are millimetres from the top left corner of the sheet, y downward.

use glam::DVec2;

/// A position on the sheet in millimetres.
pub(crate) type Point = DVec2;

/// A sheet and everything on it, in the order of painting.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// File name without ending.
    pub(crate) name: &'static str,
    /// What a screen reader says first.
    pub(crate) title: String,
    /// Width and height of the sheet in millimetres.
    pub(crate) size: DVec2,
    /// What is painted, first to last.
    pub(crate) items: Vec<Item>,
}

/// One painted thing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Item {
    /// A line, area or both.
    Shape(Shape),
    /// A line of text.
    Text(Text),
    /// Things that belong to a path or a speaker.
    Of {
        /// To which.
        mark: Mark,
        /// The things.
        items: Vec<Item>,
    },
    /// Things cut off at the edges of a rectangle.
    Clipped {
        /// Where they may be seen.
        to: Rect,
        /// The things.
        items: Vec<Item>,
    },
}

/// What painted things belong to, so that a page can tell them apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Mark {
    /// The path with this number.
    Path(String),
    /// The direct sound of a speaker, by its place in the picture.
    Direct(usize),
    /// The curve of a speaker, by its place in the picture.
    Curve(usize),
}

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

/// How a line is drawn.
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

/// An opaque colour, red, green, blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Colour(pub(crate) u8, pub(crate) u8, pub(crate) u8);

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

/// A rectangle on the sheet with its sides along the sheet's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rect {
    /// Its top left corner.
    pub(crate) min: Point,
    /// Its bottom right corner.
    pub(crate) max: Point,
}

impl Rect {
    /// From its left, top, right and bottom edges.
    pub(crate) fn new(left: f64, top: f64, right: f64, bottom: f64) -> Self {
        Self { min: Point::new(left, top), max: Point::new(right, bottom) }
    }

    /// Around a middle.
    pub(crate) fn around(middle: Point, size: DVec2) -> Self {
        Self { min: middle - size / 2.0, max: middle + size / 2.0 }
    }

    /// The smallest one that holds all points; `None` without points.
    pub(crate) fn bounding(points: &[Point]) -> Option<Self> {
        let first = *points.first()?;
        let start = Self { min: first, max: first };
        Some(points.iter().fold(start, |r, &p| Self { min: r.min.min(p), max: r.max.max(p) }))
    }

    /// Width and height.
    pub(crate) fn size(self) -> DVec2 {
        self.max - self.min
    }

    /// Its middle.
    pub(crate) fn middle(self) -> Point {
        self.min.midpoint(self.max)
    }

    /// Larger by this much on every side; smaller if negative.
    pub(crate) fn grown(self, by: f64) -> Self {
        Self { min: self.min - DVec2::splat(by), max: self.max + DVec2::splat(by) }
    }

    /// Whether the two share area.
    pub(crate) fn overlaps(self, other: Self) -> bool {
        self.min.x < other.max.x
            && other.min.x < self.max.x
            && self.min.y < other.max.y
            && other.min.y < self.max.y
    }

    /// Whether the other one lies inside, edges included.
    pub(crate) fn holds(self, other: Self) -> bool {
        self.min.cmple(other.min).all() && other.max.cmple(self.max).all()
    }

    /// The point of the rectangle nearest to this one.
    pub(crate) fn nearest(self, point: Point) -> Point {
        point.clamp(self.min, self.max)
    }

    /// The part of a straight line that lies inside, if any.
    pub(crate) fn cut(self, line: [Point; 2]) -> Option<[Point; 2]> {
        let [a, b] = line;
        let along = b - a;
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for axis in 0..2 {
            if along[axis].abs() < 1e-12 {
                if a[axis] < self.min[axis] || self.max[axis] < a[axis] {
                    return None;
                }
                continue;
            }
            let t = [self.min[axis], self.max[axis]].map(|edge| (edge - a[axis]) / along[axis]);
            enter = enter.max(t[0].min(t[1]));
            leave = leave.min(t[0].max(t[1]));
        }
        (enter < leave).then(|| [a + along * enter, a + along * leave])
    }
}
