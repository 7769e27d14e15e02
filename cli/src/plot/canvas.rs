//! A sheet being drawn on, which knows what is already there.

use super::model::{
    Anchor, Colour, Dash, Item, Mark, Outline, Point, Rect, Shape, Stroke, Text, Weight,
};
use super::palette::{self, line};
use super::text;

/// Items in the order of painting, with what labels have to keep clear of.
#[derive(Debug, Default)]
pub(crate) struct Canvas {
    /// What is painted.
    pub(crate) items: Vec<Item>,
    /// Places that no label may cover: other labels, marks, symbols.
    pub(crate) solid: Vec<Rect>,
    /// Lines that labels had better not cover.
    pub(crate) lines: Vec<[Point; 2]>,
}

impl Canvas {
    /// Paints things that belong to a path or a speaker.
    pub(crate) fn of(&mut self, mark: Mark, paint: impl FnOnce(&mut Self)) {
        let before = self.items.len();
        paint(self);
        let items = self.items.split_off(before);
        self.items.push(Item::Of { mark, items });
    }

    /// Paints an outline.
    pub(crate) fn shape(&mut self, outline: Outline, fill: Option<Colour>, stroke: Option<Stroke>) {
        self.items.push(Item::Shape(Shape { outline, fill, stroke }));
    }

    /// Paints an open line.
    pub(crate) fn polyline(&mut self, points: Vec<Point>, stroke: Stroke) {
        self.shape(Outline::Line(points), None, Some(stroke));
    }

    /// Paints an area with an edge.
    pub(crate) fn polygon(&mut self, points: Vec<Point>, fill: Colour, stroke: Stroke) {
        self.shape(Outline::Polygon(points), Some(fill), Some(stroke));
    }

    /// Paints a circle.
    pub(crate) fn circle(
        &mut self,
        centre: Point,
        radius: f64,
        fill: Option<Colour>,
        stroke: Option<Stroke>,
    ) {
        self.shape(Outline::Circle { centre, radius }, fill, stroke);
    }

    /// Paints a rectangle.
    pub(crate) fn rect(&mut self, rect: Rect, fill: Option<Colour>, stroke: Option<Stroke>) {
        self.shape(Outline::Rect { rect, corner: 0.0 }, fill, stroke);
    }

    /// Paints an arrow head with its tip at a point.
    pub(crate) fn arrow_head(&mut self, tip: Point, toward: Point, length: f64, colour: Colour) {
        let along = toward.normalize_or_zero() * length;
        let across = along.perp() * 0.32;
        let points = vec![tip, tip - along + across, tip - along * 0.8, tip - along - across];
        self.shape(Outline::Polygon(points), Some(colour), None);
    }

    /// Paints hatching at 45° inside a rectangle.
    pub(crate) fn hatch(&mut self, rect: Rect, gap: f64, stroke: Stroke) {
        let reach = rect.size().y;
        let mut start = rect.min.x - reach + gap / 2.0;
        while start < rect.max.x {
            let rising = [Point::new(start, rect.max.y), Point::new(start + reach, rect.min.y)];
            if let Some(visible) = rect.cut(rising) {
                self.polyline(visible.to_vec(), stroke);
            }
            start += gap;
        }
    }

    /// Writes a line of text.
    pub(crate) fn text(&mut self, text: Text) {
        self.items.push(Item::Text(text));
    }

    /// Marks the extent of the texts painted so far as taken.
    pub(crate) fn keep_texts_clear(&mut self) {
        self.solid.extend(text::all(&self.items).into_iter().map(text::extent));
    }
}

/// Text in ink from the left, to be changed with struct update or the methods below.
pub(crate) fn words(content: impl Into<String>, at: Point, size: f64) -> Text {
    Text {
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

impl Text {
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
        let shift = text::CAPITAL * self.size / 2.0;
        let by = if self.turned { Point::new(shift, 0.0) } else { Point::new(0.0, shift) };
        Self { at: self.at + by, ..self }
    }
}

/// A hairline for leaders and witness lines.
pub(crate) fn hairline() -> Stroke {
    line(palette::DIMENSION, 0.13)
}

/// A line sample for a key: the same stroke between two points on one height.
pub(crate) fn sample(canvas: &mut Canvas, left: Point, width: f64, stroke: Stroke) {
    canvas.polyline(vec![left, left + Point::new(width, 0.0)], stroke);
}

/// Lengths of dashes and gaps in millimetres.
pub(crate) fn dash_pattern(dash: Dash) -> &'static [f64] {
    match dash {
        Dash::Solid => &[],
        Dash::Long => &[2.4, 1.0],
        Dash::Short => &[1.1, 0.7],
        Dash::Chain => &[3.0, 0.8, 0.5, 0.8],
    }
}
