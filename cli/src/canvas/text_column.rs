//! A column of words and tables, written from the top down.

use super::palette::{self, line};
use super::{Anchor, Canvas, Point, Rect, Text, Weight, typeface};

/// A column being written, with position and size of its next line.
#[derive(Debug)]
pub(crate) struct TextColumn<'c> {
    canvas: &'c mut Canvas,
    space: Rect,
    size: f64,
    /// Top of what is still free, millimetres on the sheet.
    top: f64,
}

/// A table: heads with the side they lean on, and rows of as many fields; the last field is cut
/// where it is too long.
#[derive(Debug, Clone, Default)]
pub(crate) struct Rows {
    /// Heads.
    pub(crate) heads: Vec<(&'static str, bool)>,
    /// Fields, row by row.
    pub(crate) rows: Vec<Vec<String>>,
}

/// A line of text takes this times its size.
const PITCH: f64 = 1.5;
/// Between columns of a table, times the size.
const GAP: f64 = 0.9;

impl<'c> TextColumn<'c> {
    /// From the top of a space, at a size of type in millimetres.
    pub(crate) fn new(canvas: &'c mut Canvas, space: Rect, size: f64) -> Self {
        Self { canvas, space, size, top: space.min.y }
    }

    /// Whether all that was written is still in its space.
    pub(crate) fn fits(&self) -> bool {
        self.top <= self.space.max.y
    }

    /// A heading under a rule.
    pub(crate) fn heading(&mut self, content: &str) {
        self.top += 0.5 * self.size;
        let ends = [self.space.min.x, self.space.max.x].map(|x| Point::new(x, self.top));
        self.canvas.polyline(ends.to_vec(), line(palette::RULE, 0.2));
        self.top += 0.35 * self.size;
        let shown = typeface::fit(content, 1.05 * self.size, Weight::Semibold, self.space.size().x);
        let at = self.next_line(1.05 * self.size);
        self.canvas.text(Text::new(shown, at, 1.05 * self.size).semibold());
    }

    /// A paragraph in the type of second rank.
    pub(crate) fn paragraph(&mut self, content: &str) {
        for shown in wrapped(content, self.size, Weight::Regular, self.space.size().x) {
            let at = self.next_line(self.size);
            self.canvas.text(Text::new(shown, at, self.size).secondary());
        }
    }

    /// A table with no more than so many rows; of more it says how many are missing, and where they are.
    pub(crate) fn table(&mut self, table: &Rows, most: usize, rest: &str) {
        let shown = &table.rows[..table.rows.len().min(most)];
        let widths = self.widths(table, shown);
        let heads: Vec<String> = table.heads.iter().map(|(head, _)| (*head).to_owned()).collect();
        self.row(table, &widths, &heads, true);
        for row in shown {
            self.row(table, &widths, row, false);
        }
        if shown.len() < table.rows.len() {
            self.paragraph(&format!("and {} more, in {rest}", table.rows.len() - shown.len()));
        }
    }

    /// Width of every field but the last, which has the rest.
    fn widths(&self, table: &Rows, shown: &[Vec<String>]) -> Vec<f64> {
        let wide = |content: &str| typeface::width(content, self.size, Weight::Regular);
        let of = |index: usize| {
            let fields = shown.iter().filter_map(|row| row.get(index)).map(|field| wide(field));
            let head = table.heads.get(index).map_or(0.0, |(head, _)| wide(head));
            fields.fold(head, f64::max)
        };
        (0..table.heads.len()).map(of).collect()
    }

    fn row(&mut self, table: &Rows, widths: &[f64], fields: &[String], is_head: bool) {
        let at = self.next_line(self.size);
        let mut left = self.space.min.x;
        for (index, (field, &wide)) in fields.iter().zip(widths).enumerate() {
            let is_last = index + 1 == widths.len();
            let wide = if is_last { wide.min(self.space.max.x - left) } else { wide };
            let leans_right = table.heads.get(index).is_some_and(|(_, right)| *right);
            let shown = typeface::fit(field, self.size, Weight::Regular, wide.max(0.0));
            let (x, anchor) =
                if leans_right { (left + wide, Anchor::End) } else { (left, Anchor::Start) };
            let text = Text::new(shown, Point::new(x, at.y), self.size).anchored(anchor);
            self.canvas.text(if is_head { text.secondary() } else { text });
            left += wide + GAP * self.size;
        }
    }

    /// The start of the base line of the next line.
    fn next_line(&mut self, size: f64) -> Point {
        self.top += PITCH * size;
        Point::new(self.space.min.x, self.top - 0.4 * size)
    }
}

/// Words in lines of at most this width; a word that is longer is cut.
pub(crate) fn wrapped(content: &str, size: f64, weight: Weight, wide: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in content.split(' ') {
        let word = typeface::fit(word, size, weight, wide);
        match lines.last_mut() {
            Some(last) if typeface::width(&format!("{last} {word}"), size, weight) <= wide => {
                last.push(' ');
                last.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}
