//! Positions and rectangles on a sheet.

use glam::DVec2;

/// A position on the sheet in millimetres.
pub(crate) type Point = DVec2;

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
        // Nearly every line of a sheet passes elsewhere, and that is told without a division.
        if a.max(b).cmplt(self.min).any() || self.max.cmplt(a.min(b)).any() {
            return None;
        }
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
