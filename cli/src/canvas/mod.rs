//! Drawings on paper, whatever they show: shapes, lines of text and groups of both on a sheet, labels
//! placed so that none covers another, and files made from them.
//!
//! A [`Canvas`] is painted on and becomes a [`Drawing`] in millimetres; a drawing gives SVG text and,
//! through that same text, a PNG file. Nothing here depends on the machine it runs on: the typeface
//! is built in, and equal input gives equal bytes. Nothing here knows of rooms or sound.

pub(crate) mod gif;
pub(crate) mod label_placement;
pub(crate) mod label_row;
mod model;
pub(crate) mod palette;
pub(crate) mod png;
mod rect;
pub(crate) mod svg;
mod text;
pub(crate) mod text_column;
pub(crate) mod typeface;

pub use model::Drawing;
pub(crate) use model::{Dash, GroupId, Item, Outline, Paper, SCALE, Shape, Stroke};
pub(crate) use palette::Colour;
pub(crate) use rect::{Point, Rect};
pub(crate) use text::{Anchor, Text, Weight};

impl Drawing {
    /// Its file name without ending: `plan`, `compare-plans`.
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The whole SVG file; text is live text, and the typeface is inside.
    pub fn svg(&self) -> String {
        svg::with_typeface(self)
    }

    /// The whole PNG file, at 200 dots an inch.
    ///
    /// # Errors
    /// When a rasteriser or encoder refuses; with drawings made here that would be a fault of ours.
    pub fn png(&self) -> anyhow::Result<Vec<u8>> {
        png::encode(self)
    }
}

/// A sheet being painted: items in the order of painting, with what labels have to keep clear of.
#[derive(Debug, Default)]
pub(crate) struct Canvas {
    /// Painted items.
    pub(crate) items: Vec<Item>,
    /// Places that no label may cover: other labels, marks, symbols.
    pub(crate) solid: Vec<Rect>,
    /// Lines that labels had better not cover.
    pub(crate) lines: Vec<[Point; 2]>,
}

impl Canvas {
    /// Paints things that belong together.
    pub(crate) fn group(&mut self, id: GroupId, paint: impl FnOnce(&mut Self)) {
        let before = self.items.len();
        paint(self);
        let items = self.items.split_off(before);
        self.items.push(Item::Group { id, items });
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

    /// Paints a line of text.
    pub(crate) fn text(&mut self, text: Text) {
        self.items.push(Item::Text(text));
    }

    /// Marks the extent of the texts painted so far as taken.
    pub(crate) fn keep_texts_clear(&mut self) {
        self.solid.extend(typeface::all(&self.items).into_iter().map(typeface::extent));
    }

    /// Paints a line sample for a key: from a point to the right.
    pub(crate) fn sample(&mut self, left: Point, width: f64, stroke: Stroke) {
        self.polyline(vec![left, left + Point::new(width, 0.0)], stroke);
    }
}
