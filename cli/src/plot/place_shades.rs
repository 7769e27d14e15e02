//! Shades for what a layout is worth over the floor, and their key.

use crate::canvas::{Canvas, Point, Rect, Text};
use crate::plot::palette::{self, line};
use crate::plot::room::projection::View;
use earline_engine::explore::placement::{Map, Objective};
use glam::DVec2;

/// Shades, the lightest for the worst.
const SHADES: usize = 8;
/// Fields drawn along and across a cell of the map.
const FINE: usize = 3;
/// The most that all shades together span, decibels: what is worse is as light as the lightest.
const SPAN_DB: f64 = 12.0;

/// From worth to shade, in even steps from the best on.
pub(crate) struct Shades {
    best_db: f64,
    step_db: f64,
}

impl Shades {
    pub(crate) fn of(map: &Map) -> Self {
        let all = || map.worth.iter().flatten().flatten().map(|worth| worth.sum_db);
        let best_db = all().fold(f64::INFINITY, f64::min);
        let worst_db = all().fold(f64::NEG_INFINITY, f64::max);
        let step = (worst_db - best_db).min(SPAN_DB) / SHADES as f64;
        // Steps that are read off, from a figure that is read off.
        let step_db = [0.1, 0.25, 0.5, 1.0].into_iter().find(|s| step <= *s).unwrap_or(1.5);
        let best_db = if best_db.is_finite() {
            (best_db / step_db.min(0.5)).floor() * step_db.min(0.5)
        } else {
            0.0
        };
        Self { best_db, step_db }
    }

    /// The darkest is the best.
    fn shade(&self, sum_db: f64) -> usize {
        let steps = (1..SHADES).filter(|step| self.best_db + self.step_db * *step as f64 <= sum_db);
        SHADES - 1 - steps.count()
    }

    /// Fields over the floor; neighbours of one shade in a row are one field.
    pub(crate) fn fields(&self, canvas: &mut Canvas, map: &Map, view: &View) {
        let (rows, columns) = (map.seats_m.len() * FINE, map.axes_m.len() * FINE);
        let size = view.inside.size() / DVec2::new(columns as f64, rows as f64);
        for row in 0..rows {
            let shades: Vec<Option<usize>> = (0..columns)
                .map(|column| between(map, row, column).map(|sum_db| self.shade(sum_db)))
                .collect();
            let mut from = 0;
            for run in shades.chunk_by(|a, b| a == b) {
                let to = from + run.len();
                let corner = |column: usize, row: usize| {
                    view.inside.min + size * DVec2::new(column as f64, row as f64)
                };
                // No hairline of paper between rows.
                let under = DVec2::new(0.0, if row + 1 < rows { 0.06 } else { 0.0 });
                let field = Rect { min: corner(from, row), max: corner(to, row + 1) + under };
                let fill = run.first().copied().flatten().map_or(palette::NO_FIT, shade_colour);
                canvas.rect(field, Some(fill), None);
                from = to;
            }
        }
    }

    /// Says what the shades stand for; returns the height taken.
    pub(crate) fn key(&self, canvas: &mut Canvas, space: Rect) -> f64 {
        let wide = (space.size().x / SHADES as f64).min(12.0);
        let corner = space.min;
        canvas.text(Text::new("Sum of the terms, dB; darker is better", corner, 2.5).strong());
        for index in 0..SHADES {
            let min = corner + DVec2::new(wide * index as f64, 2.2);
            let field = Rect { min, max: min + DVec2::new(wide, 4.0) };
            let fill = shade_colour(SHADES - 1 - index);
            canvas.rect(field, Some(fill), Some(line(palette::RULE, 0.15)));
            let figure = self.best_db + self.step_db * index as f64;
            let more = if index + 1 == SHADES { " and more" } else { "" };
            let digits = if self.step_db < 0.3 { 2 } else { 1 };
            let figure = format!("{figure:.digits$}{more}");
            canvas.text(Text::new(figure, Point::new(min.x, field.max.y + 3.0), 2.2).quiet());
        }
        let min = corner + DVec2::new(0.0, 11.5);
        let field = Rect { min, max: min + DVec2::new(wide, 4.0) };
        canvas.rect(field, Some(palette::NO_FIT), Some(line(palette::RULE, 0.15)));
        let says = "it does not fit, or is kept out";
        canvas.text(Text::new(says, Point::new(field.max.x + 1.5, field.max.y - 1.1), 2.4).quiet());
        21.0
    }
}

fn shade_colour(shade: usize) -> crate::canvas::Colour {
    palette::worth(shade, SHADES)
}

/// Worth in a fine field, on straight lines between the middles of cells; the edge of where a layout
/// fits is that of the cells.
fn between(map: &Map, row: usize, column: usize) -> Option<f64> {
    let sum_db = |row: usize, column: usize| -> Option<f64> {
        map.worth.get(row)?.get(column)?.as_ref().map(|worth: &Objective| worth.sum_db)
    };
    let (cell_row, cell_column) = (row / FINE, column / FINE);
    let own = sum_db(cell_row, cell_column)?;
    let (next_row, down) = beside(cell_row, row % FINE);
    let (next_column, across) = beside(cell_column, column % FINE);
    let at = |row: Option<usize>, column: Option<usize>| {
        row.zip(column).and_then(|(row, column)| sum_db(row, column)).unwrap_or(own)
    };
    let here = (Some(cell_row), Some(cell_column));
    let top = own * (1.0 - across) + at(here.0, next_column) * across;
    let bottom = at(next_row, here.1) * (1.0 - across) + at(next_row, next_column) * across;
    Some(top * (1.0 - down) + bottom * down)
}

/// The neighbour on whose side a fine field of a cell lies, and how far it lies toward it, in cells.
fn beside(cell: usize, fine: usize) -> (Option<usize>, f64) {
    let from_middle = (fine as f64 + 0.5) / FINE as f64 - 0.5;
    let next = if from_middle < 0.0 { cell.checked_sub(1) } else { cell.checked_add(1) };
    (next, from_middle.abs())
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;

    fn map(sums: &[&[Option<f64>]]) -> Map {
        let worth = |sum_db: &Option<f64>| {
            sum_db.map(|sum_db| Objective { seats: Vec::new(), start_db: 0.0, sum_db })
        };
        Map {
            seats_m: (0..sums.len()).map(|i| i as f64).collect(),
            axes_m: (0..sums[0].len()).map(|i| i as f64).collect(),
            worth: sums.iter().map(|row| row.iter().map(worth).collect()).collect(),
        }
    }

    /// A plane stays a plane between the middles of the outermost cells.
    #[test]
    fn fields_lie_on_straight_lines() {
        let rows: Vec<Vec<Option<f64>>> = (0..3)
            .map(|row| {
                (0..4).map(|column| Some(2.0 * f64::from(row) + f64::from(column))).collect()
            })
            .collect();
        let rows: Vec<&[Option<f64>]> = rows.iter().map(Vec::as_slice).collect();
        let map = map(&rows);
        let place = |fine: usize| (fine as f64 + 0.5) / 3.0 - 0.5;
        for row in 1..8 {
            for column in 1..11 {
                let sum = between(&map, row, column).unwrap();
                assert!((sum - 2.0 * place(row) - place(column)).abs() < 1e-9, "{row} {column}");
            }
        }
    }

    #[test]
    fn what_does_not_fit_is_left_out_cell_by_cell() {
        let map = map(&[&[Some(3.0), None]]);
        assert!((0..3).all(|column| (between(&map, 1, column).unwrap() - 3.0).abs() < 1e-12));
        assert!((3..6).all(|column| between(&map, 1, column).is_none()));
    }

    #[test]
    fn the_best_is_darkest() {
        let shades = Shades::of(&map(&[&[Some(2.6), Some(30.0), Some(7.0)]]));
        assert_eq!(shades.shade(2.6), SHADES - 1);
        assert_eq!(shades.shade(30.0), 0);
        assert!(shades.best_db <= 2.6 && shades.shade(7.0) < SHADES - 1);
    }
}
