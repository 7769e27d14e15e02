//! The plan: the room from above, with where to put the tape along every wall.

use crate::canvas::{Canvas, Drawing, Point, Rect, Text};
use crate::plot::data::input::{Input, Path};
use crate::plot::palette::{self, line};
use crate::plot::room::dimension_marks;
use crate::plot::room::projection::{Side, View};
use crate::plot::room::room_view::{self, RoomContents};
use crate::plot::sheet::drawing_scale::{self, DrawingScale};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::legend::Legend;
use crate::plot::sheet::ordinate::{self, Tick, Writing};
use crate::plot::sheet::path_list;
use crate::plot::sheet::scale_bar::scale_bar;
use crate::plot::sheet::viewport::{Sheet, Window};
use glam::DVec2;

/// Left edge of the column of words.
const COLUMN: f64 = 180.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 9.0;

/// Lays out the plan.
pub(crate) fn plan(input: &Input) -> Drawing {
    plan_sheet(input).drawing
}

/// The plan with the viewport of the room.
pub(crate) fn plan_sheet(input: &Input) -> Sheet {
    let mut canvas = Canvas::default();
    let frame = frame::frame(&mut canvas);
    let column = Rect {
        min: DVec2::new(COLUMN + 4.0, frame.min.y + 4.0),
        max: frame.max - DVec2::splat(4.0),
    };
    canvas.polyline(
        vec![Point::new(COLUMN, frame.min.y), Point::new(COLUMN, frame.max.y)],
        line(palette::INK, 0.2),
    );
    let drawing = Rect {
        min: frame.min + DVec2::splat(2.5),
        max: DVec2::new(COLUMN - 2.5, frame.max.y - 2.5),
    };

    let all: Vec<&Path> = input.paths.iter().collect();
    let any_view = View::new(Side::Plan, input.room, 1.0, drawing);
    let (legend_space, list) = column_parts(input, &any_view, &all, column);
    let list_columns = [list];
    let key = path_list::fit(input, all, &list_columns);

    let (view, scale, marks, writing) = fit(input, &key.shown, drawing);
    let beside = spare(&view, drawing);
    let whole = RoomContents {
        input,
        paths: &key.shown,
        marks: &marks,
        writing,
        spare: [beside, beside, 1.5, 1.5],
    };
    room_view::draw(&mut canvas, &view, &whole, drawing);
    scale_bar(
        &mut canvas,
        Point::new(drawing.min.x + 3.0, drawing.max.y - 1.5),
        &scale,
        input.units,
    );

    frame::title(
        &mut canvas,
        column,
        input,
        "Plan, from above",
        &frame::on_paper(&scale.name, input.units),
    );
    key.draw(&mut canvas, input, &list_columns);
    let legend = Legend::new(input, &view, &key.shown, column.size().x);
    write_legend(&mut canvas, &legend, legend_space);
    let drawing = Drawing {
        name: "plan",
        title: format!("{}: plan from above with the paths of early reflections", input.title),
        size: frame::SHEET,
        paper: frame::paper(input.units),
        items: canvas.items,
    };
    let part = Rect { max: Point::new(COLUMN - 0.5, frame.max.y), ..frame };
    let window = Window::of_room("plan", "Plan, from above", part.grown(-0.5), &view);
    Sheet { drawing, windows: vec![window] }
}

/// The column's lower part for the legend and its upper part for the list.
fn column_parts(input: &Input, view: &View, paths: &[&Path], column: Rect) -> (Rect, Rect) {
    let tall = Legend::new(input, view, paths, column.size().x).height();
    let split = column.max.y - tall.min(78.0) - 7.0;
    let legend = Rect { min: DVec2::new(column.min.x, split), max: column.max };
    let list = Rect {
        min: column.min + DVec2::new(0.0, 18.5),
        max: DVec2::new(column.max.x, split - 2.0),
    };
    (legend, list)
}

fn write_legend(canvas: &mut Canvas, legend: &Legend, space: Rect) {
    for height in [space.min.y, space.max.y - 4.2] {
        let ends = vec![Point::new(space.min.x, height), Point::new(space.max.x, height)];
        canvas.polyline(ends, line(palette::RULE, 0.2));
    }
    let inner = Rect::new(space.min.x, space.min.y + 1.5, space.max.x, space.max.y - 4.8);
    legend.draw(canvas, inner);
    canvas.text(Text::new(CAPTION, Point::new(space.min.x, space.max.y), 2.5).secondary());
}

/// The largest scale at which room and dimensions fit, and how the dimensions are written there.
fn fit(
    input: &Input,
    paths: &[&Path],
    space: Rect,
) -> (View, DrawingScale, [Vec<Tick>; 4], Writing) {
    let space = Rect { max: space.max - DVec2::new(0.0, BAR), ..space };
    let at_scale = |writing: Writing| {
        let unit = View::new(Side::Plan, input.room, 1.0, space);
        let marks = dimension_marks::along(input, &unit, paths);
        let inner = inner(space, &marks, writing);
        let scale =
            drawing_scale::fitting(Side::Plan.size_m(input.room), inner.size(), input.units);
        let view = View::new(Side::Plan, input.room, scale.mm_per_m, inner);
        let marks = dimension_marks::along(input, &view, paths);
        (view, scale, marks, writing)
    };
    let upright = at_scale(Writing::Upright);
    let wide = upright.0.inside.size().x + 2.0 * spare(&upright.0, space);
    let crowded =
        upright.2[..2].iter().any(|marks| ordinate::length(marks, false, Writing::Upright) > wide);
    if crowded { at_scale(Writing::Rotated) } else { upright }
}

/// Space for labels at the front and back wall past the corners.
fn spare(view: &View, space: Rect) -> f64 {
    (view.inside.min.x - space.min.x).min(space.max.x - view.inside.max.x).min(22.0)
}

fn inner(space: Rect, marks: &[Vec<Tick>; 4], writing: Writing) -> Rect {
    let deep = |index: usize| ordinate::depth(&marks[index], 2 <= index, writing);
    let (top, bottom, left, right) = (deep(0), deep(1), deep(2), deep(3));
    Rect { min: space.min + DVec2::new(left, top), max: space.max - DVec2::new(right, bottom) }
}
