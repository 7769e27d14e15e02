//! Sheet of a map of the bass: the room about the field, and what is in it.

use crate::canvas::text_column::wrapped;
use crate::canvas::{Canvas, Drawing, Paper, Point, Rect, Text, Weight};
use crate::plot::data::input::Input;
use crate::plot::palette::{self, line};
use crate::plot::room::projection::{Side, View};
use crate::plot::room::{elements, symbol};
use crate::plot::sheet::drawing_scale;
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::ordinate::WALL;
use crate::plot::sheet::scale_bar::scale_bar;
use glam::DVec2;

/// Left edge of the column of words.
const COLUMN: f64 = 190.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 9.0;
/// Size of the words in the column.
const WORDS: f64 = 2.5;

/// A sheet with the room on the left and words on the right.
pub(crate) struct MapSheet {
    pub(crate) canvas: Canvas,
    pub(crate) view: View,
    /// Names waiting for a place about the room.
    pub(crate) labels: Labels,
    /// Space left for words.
    words: Rect,
    /// Area of the names.
    area: Rect,
    paper: Paper,
}

impl MapSheet {
    /// Draws the frame, the walls and the headline.
    pub(crate) fn new(input: &Input, side: Side, kind: &str) -> Self {
        let mut canvas = Canvas::default();
        let frame = frame::frame(&mut canvas);
        let rule = [frame.min.y, frame.max.y].map(|y| Point::new(COLUMN, y));
        canvas.polyline(rule.to_vec(), line(palette::INK, 0.2));
        let space = Rect {
            min: frame.min + DVec2::splat(4.0),
            max: DVec2::new(COLUMN - 4.0, frame.max.y - 3.0),
        };
        let drawn = Rect { max: space.max - DVec2::new(0.0, BAR), ..space }.grown(-WALL);
        let scale = drawing_scale::fitting(side.size_m(input.room), drawn.size(), input.units);
        let view = View::new(side, input.room, scale.mm_per_m, drawn);
        elements::walls(&mut canvas, &view, &Default::default());
        let corner = Point::new(space.min.x, space.max.y - 1.5);
        scale_bar(&mut canvas, corner, &scale, input.units);
        let column = Rect { min: DVec2::new(COLUMN, frame.min.y), max: frame.max }.grown(-4.0);
        let taken = frame::title(
            &mut canvas,
            column,
            input,
            kind,
            &frame::on_paper(&scale.name, input.units),
        );
        canvas.text(Text::new(CAPTION, Point::new(column.min.x, column.max.y), 2.5).secondary());
        let words = Rect { min: column.min + DVec2::Y * (taken + 3.0), ..column };
        Self {
            canvas,
            view,
            labels: Labels::default(),
            words,
            area: view.inside.grown(WALL),
            paper: frame::paper(input.units),
        }
    }

    /// Draws what stands in the room over the shades: outlines of furniture, panels, speakers and head,
    /// with names; the head's as given.
    pub(crate) fn things(&mut self, input: &Input, seat: &str) {
        let (canvas, view) = (&mut self.canvas, &self.view);
        for piece in &input.furniture {
            let outline = elements::furniture_outline(view, piece);
            if let Some(area) = Rect::bounding(&outline) {
                // In its corner, where no seat is.
                let at = area.min + DVec2::new(6.0, 4.0).min(area.size() / 2.0);
                self.labels.name(&piece.name, at, 0.4, None);
            }
            canvas.lines.extend(elements::edges(&outline));
            let closed: Vec<Point> = outline.iter().chain(outline.first()).copied().collect();
            for (colour, width) in [(palette::PAPER, 0.5), (palette::INK, 0.2)] {
                canvas.polyline(closed.clone(), line(colour, width));
            }
        }
        for panel in &input.panels {
            if view.edge_on(panel.on) {
                elements::panel(canvas, view, input.room, panel, panel.absorbs);
            }
        }
        for (index, speaker) in input.speakers.iter().enumerate() {
            let body = symbol::speaker(canvas, view, speaker, palette::speaker(index));
            canvas.solid.push(body);
            let clear = body.size().min_element() / 2.0;
            self.labels.name(&speaker.name, body.middle(), clear, None);
        }
        let head = symbol::head(canvas, view, &input.listener);
        canvas.solid.push(head);
        self.labels.name(seat, head.middle(), head.size().min_element() / 2.0, None);
    }

    /// The space for a bar of shades; words go on under it.
    pub(crate) fn bar_space(&mut self, high: f64) -> Rect {
        let space = self.words;
        self.words.min.y += high + 3.5;
        Rect { max: Point::new(space.max.x, space.min.y + high), ..space }
    }

    /// Writes a paragraph into the column.
    pub(crate) fn says(&mut self, says: &str, is_strong: bool) {
        let weight = if is_strong { Weight::Semibold } else { Weight::Regular };
        for says in wrapped(says, WORDS, weight, self.words.size().x) {
            self.words.min.y += 3.7;
            let text = Text::new(says, self.words.min, WORDS);
            self.canvas.text(if is_strong { text.semibold() } else { text.secondary() });
        }
        self.words.min.y += 1.6;
    }

    /// Writes the names and ends the sheet.
    pub(crate) fn finish(mut self, name: &'static str, title: String) -> Drawing {
        self.canvas.rect(self.view.inside, None, Some(line(palette::INK, 0.3)));
        self.labels.write(&mut self.canvas, self.area);
        let (size, paper) = (frame::SHEET, self.paper);
        Drawing { name, title, size, paper, items: self.canvas.items }
    }
}
