//! Surroundings of a picture on its sheet: frame, title, scale bar, caption.

use crate::canvas::{Canvas, Paper, Point, Rect, Text, Weight, typeface};
use crate::plot::data::input::Input;
use crate::plot::groups;
use crate::plot::palette::{self, line};
use crate::plot::sheet::lengths;
use earline_engine::scene::Units;
use glam::DVec2;

/// A4, lying: width and height in millimetres. On other paper a sheet is this large in its own units.
pub(crate) const SHEET: DVec2 = DVec2::new(297.0, 210.0);

/// The paper of whoever measures in these units.
pub(crate) fn paper(units: Units) -> Paper {
    match units {
        Units::Metric => Paper::AsDrawn,
        Units::Imperial => Paper::Letter,
    }
}

/// A scale with the paper on which it is one: `1:40 on A4`.
pub(crate) fn on_paper(scale: &str, units: Units) -> String {
    let paper = match units {
        Units::Metric => "A4",
        Units::Imperial => "Letter",
    };
    format!("{scale} on {paper}")
}

/// The line around everything.
pub(crate) const FRAME: f64 = 7.0;
/// Caption of every sheet.
pub(crate) const CAPTION: &str = "A starting point to experiment from.";

/// Draws paper and frame; returns the space inside the frame.
pub(crate) fn frame(canvas: &mut Canvas) -> Rect {
    let paper = Rect { min: DVec2::ZERO, max: SHEET };
    canvas.rect(paper, Some(palette::PAPER), None);
    let frame = paper.grown(-FRAME);
    canvas.rect(frame, None, Some(line(palette::INK, 0.35)));
    frame
}

/// Writes the title and two lines under it from the top left corner of a space; returns the
/// height taken.
pub(crate) fn title(
    canvas: &mut Canvas,
    space: Rect,
    input: &Input,
    kind: &str,
    scale: &str,
) -> f64 {
    headline(canvas, space, input.title, kind, scale, &about(input))
}

/// Writes a title with a line under it, in full where it fits and in short where not.
pub(crate) fn headline(
    canvas: &mut Canvas,
    space: Rect,
    title: &str,
    kind: &str,
    scale: &str,
    [about, short]: &[String; 2],
) -> f64 {
    let wide = space.size().x;
    let left = |y: f64| Point::new(space.min.x, space.min.y + y);
    // Long titles get smaller, then shorter.
    let size = [6.2, 5.4, 4.7, 4.1, 3.6]
        .into_iter()
        .find(|&size| typeface::width(title, size, Weight::Semibold) <= wide)
        .unwrap_or(3.6);
    let shown = typeface::fit(title, size, Weight::Semibold, wide);
    canvas.text(Text::new(shown, left(5.2), size).semibold());
    let kind = Text::new(kind, left(10.4), 3.0).semibold();
    let after = kind.at + DVec2::X * (typeface::width(&kind.content, 3.0, Weight::Semibold) + 2.2);
    canvas.text(kind);
    canvas.group(groups::scale(), |canvas| {
        canvas.text(Text::new(scale, after, 3.0).secondary());
    });
    let fits = typeface::width(about, 2.5, Weight::Regular) <= wide;
    let about = typeface::fit(if fits { about } else { short }, 2.5, Weight::Regular, wide);
    canvas.text(Text::new(about, left(14.9), 2.5).secondary());
    17.2
}

/// State of the room and seat, with the room's size and without.
fn about(input: &Input) -> [String; 2] {
    let room = [input.room.length_m, input.room.width_m, input.room.height_m]
        .map(|metres| lengths::written(metres, input.units))
        .join(" × ");
    let variant = input.variant.as_ref().map(|name| format!("variant: {name} · "));
    let short = format!("{}listener: {}", variant.unwrap_or_default(), input.listener.name);
    [format!("{short} · room {room}"), short]
}
