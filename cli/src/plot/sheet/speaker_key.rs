//! Key of the speakers' lines, at the top right of a sheet of curves.

use crate::canvas::{Canvas, Rect, Stroke, Text, Weight, typeface};
use crate::plot::data::input::Input;
use crate::plot::sheet::legend;
use glam::DVec2;

/// Rows at most.
const ROWS: usize = 4;

/// Draws a sample of each speaker's line with its name, beside the title of a sheet.
pub(crate) fn draw(canvas: &mut Canvas, input: &Input, sheet: Rect, stroke: fn(usize) -> Stroke) {
    let corner = sheet.min + DVec2::new(156.0, 2.0);
    for (index, speaker) in input.speakers.iter().enumerate().take(ROWS) {
        let left = corner + DVec2::Y * (legend::ROW * index as f64);
        canvas.sample(left, 12.0, stroke(index));
        let name = typeface::fit(&speaker.name, 2.5, Weight::Semibold, 60.0);
        canvas.text(Text::new(name, left + DVec2::X * 14.0, 2.5).semibold().middle_baseline());
    }
    let more = input.speakers.len().saturating_sub(ROWS);
    if more > 0 {
        let at = corner + DVec2::X * 78.0;
        canvas.text(
            Text::new(format!("and {more} more speakers"), at, 2.5).secondary().middle_baseline(),
        );
    }
}
