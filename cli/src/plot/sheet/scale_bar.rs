//! A scale bar.

use crate::canvas::{Canvas, Point, Rect, Text};
use crate::plot::groups;
use crate::plot::palette::{self, line};
use crate::plot::sheet::drawing_scale::{self, DrawingScale};
use earline_engine::scene::Units;
use glam::DVec2;

/// Draws a scale bar from its lower left corner.
pub(crate) fn scale_bar(canvas: &mut Canvas, corner: Point, scale: &DrawingScale, units: Units) {
    let (step_m, count, unit, unit_m) = drawing_scale::bar(scale, 52.0, units);
    let step = step_m * scale.mm_per_m;
    for index in 0..count {
        let left = corner + DVec2::new(step * index as f64, -1.4);
        let box_ = Rect { min: left, max: left + DVec2::new(step, 1.4) };
        let fill = if index % 2 == 0 { palette::INK } else { palette::PAPER };
        canvas.rect(box_, Some(fill), Some(line(palette::INK, 0.2)));
    }
    for index in 0..=count {
        let at = corner + DVec2::new(step * index as f64, -2.3);
        let figure = step_m / unit_m * index as f64;
        let label = if index == count { format!("{figure} {unit}") } else { figure.to_string() };
        canvas.text(Text::new(label, at, 2.2).centred());
    }
    let after = corner + DVec2::new(step * count as f64 + 7.0, -0.1);
    canvas.group(groups::scale(), |canvas| {
        canvas.text(Text::new(scale.name.clone(), after, 2.5).secondary());
    });
}
