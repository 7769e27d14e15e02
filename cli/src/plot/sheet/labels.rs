//! Names, letters and numbers inside the room: collected, placed together, then written.

use crate::canvas::label_placement::{self, Label};
use crate::canvas::{Canvas, Colour, Point, Rect, Text, Weight, typeface};
use crate::plot::sheet::badge::{self, Badge};
use crate::plot::sheet::legend;
use glam::DVec2;

/// Size of names.
const NAME: f64 = 2.4;
/// Numbers side by side in a row.
const IN_A_ROW: usize = 3;

/// Width of a row of numbers.
fn width(row: &[Badge]) -> f64 {
    row.iter().map(|tag| tag.size().x).sum()
}

fn draw_badges(canvas: &mut Canvas, rows: &[Vec<Badge>], area: Rect) {
    for (index, row) in rows.iter().enumerate() {
        let mut left = area.middle().x - width(row) / 2.0;
        let y = area.min.y + badge::HEIGHT * (index as f64 + 0.5);
        for tag in row {
            let wide = tag.size().x;
            tag.draw(canvas, Point::new(left + wide / 2.0, y));
            left += wide;
        }
    }
}

/// Labels waiting for a place.
#[derive(Debug, Default)]
pub(crate) struct Labels {
    waiting: Vec<(Label, LabelContent)>,
}

#[derive(Debug, Clone)]
enum LabelContent {
    Name(Text),
    Letter(String),
    /// Rows of numbers.
    Badges(Vec<Vec<Badge>>),
}

impl Labels {
    /// A name for what is at a point and takes up `clear` millimetres around it.
    pub(crate) fn name(&mut self, name: &str, anchor: Point, clear: f64, home: Option<Rect>) {
        let text = Text::new(typeface::fit(name, NAME, Weight::Regular, 46.0), DVec2::ZERO, NAME);
        let text = if home.is_some() { text.secondary() } else { text.semibold() };
        let size = DVec2::new(typeface::width(&text.content, NAME, text.weight), NAME);
        self.waiting
            .push((Label { size, anchor, clear, stay: 0.9, home }, LabelContent::Name(text)));
    }

    /// The length of a line, in the line's colour, for its middle.
    pub(crate) fn length(&mut self, length: &str, middle: Point, colour: Colour) {
        let text = Text::new(length, DVec2::ZERO, NAME).semibold().coloured(colour);
        let size = DVec2::new(typeface::width(length, NAME, text.weight), NAME);
        let label = Label { size, anchor: middle, clear: 0.3, stay: 0.9, home: None };
        self.waiting.push((label, LabelContent::Name(text)));
    }

    /// A panel's letter.
    pub(crate) fn letter(&mut self, letter: &str, anchor: Point, clear: f64) {
        let size = legend::letter_size(letter);
        self.waiting.push((
            Label { size, anchor, clear, stay: 0.42, home: None },
            LabelContent::Letter(letter.to_owned()),
        ));
    }

    /// A path's number.
    pub(crate) fn badge(&mut self, tag: Badge, anchor: Point, clear: f64) {
        self.badges(&[tag], anchor, clear);
    }

    /// The numbers of paths that share a point, side by side in short rows.
    pub(crate) fn badges(&mut self, tags: &[Badge], anchor: Point, clear: f64) {
        // Rows of one length: four are two and two.
        let in_a_row = tags.len().div_ceil(tags.len().div_ceil(IN_A_ROW).max(1)).max(1);
        let rows: Vec<Vec<Badge>> = tags.chunks(in_a_row).map(<[Badge]>::to_vec).collect();
        let wide = rows.iter().map(|row| width(row)).fold(0.0, f64::max);
        let size = DVec2::new(wide, badge::HEIGHT * rows.len() as f64);
        self.waiting.push((
            Label { size, anchor, clear, stay: 0.42, home: None },
            LabelContent::Badges(rows),
        ));
    }

    /// Places and writes them all inside an area.
    pub(crate) fn write(self, canvas: &mut Canvas, area: Rect) {
        let labels: Vec<Label> = self.waiting.iter().map(|(label, _)| label.clone()).collect();
        let placed = label_placement::place(&labels, canvas, area);
        label_placement::draw_leaders(canvas, &placed);
        for ((label, written), placed) in self.waiting.into_iter().zip(placed) {
            let middle = placed.rect.middle();
            match written {
                LabelContent::Name(text) => {
                    let inside = label.home.is_some_and(|home| home.holds(placed.rect));
                    let text = Text { at: middle, halo: !inside, ..text };
                    canvas.text(text.centred().middle_baseline());
                }
                LabelContent::Letter(letter) => legend::letter_tag(canvas, middle, &letter),
                LabelContent::Badges(rows) => draw_badges(canvas, &rows, placed.rect),
            }
            canvas.solid.push(placed.rect);
        }
    }
}
