//! The section: the room cut along its length through the listener, seen from the left wall.

use crate::canvas::{Canvas, Drawing, Point, Rect, Text, typeface};
use crate::plot::data::input::{Hit, Input, Path};
use crate::plot::palette::{self, line};
use crate::plot::room::dimension_marks;
use crate::plot::room::projection::{Side, View};
use crate::plot::room::room_view::{self, RoomContents};
use crate::plot::sheet::drawing_scale::{self, DrawingScale};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::legend::Legend;
use crate::plot::sheet::ordinate::{self, Tick, Writing};
use crate::plot::sheet::scale_bar::scale_bar;
use crate::plot::sheet::viewport::{Sheet, Window};
use crate::plot::sheet::{lengths, path_list};
use glam::DVec2;

/// Least and greatest height of the band of words under the drawing.
const BAND: [f64; 2] = [48.0, 70.0];
/// Width of its right part, with title and legend.
const RIGHT: f64 = 88.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 8.0;

/// Lays out the section.
pub(crate) fn section(input: &Input) -> Drawing {
    section_sheet(input).drawing
}

/// The section with the viewport of the room.
pub(crate) fn section_sheet(input: &Input) -> Sheet {
    let mut canvas = Canvas::default();
    let frame = frame::frame(&mut canvas);
    let any_view = View::new(Side::Section, input.room, 1.0, frame);
    let visible: Vec<&Path> = input.paths.iter().filter(|path| is_seen(&any_view, path)).collect();
    let top = frame.max.y - band(input, &any_view, &visible);
    let split = frame.max.x - RIGHT;
    for ends in [
        [Point::new(frame.min.x, top), Point::new(frame.max.x, top)],
        [Point::new(split, top), Point::new(split, frame.max.y)],
    ] {
        canvas.polyline(ends.to_vec(), line(palette::INK, 0.2));
    }
    let space =
        Rect { min: frame.min + DVec2::splat(2.5), max: DVec2::new(frame.max.x - 2.5, top - 2.0) };
    let columns = list_columns(Rect {
        min: DVec2::new(frame.min.x, top),
        max: DVec2::new(split, frame.max.y),
    });
    let key = path_list::fit(input, visible, &columns);

    let (view, scale, marks) = fit(input, &key.shown, space);
    let whole = RoomContents {
        input,
        paths: &key.shown,
        marks: &marks,
        writing: Writing::Upright,
        spare: [20.0, 20.0, 4.0, 4.0],
    };
    room_view::draw(&mut canvas, &view, &whole, space);
    scale_bar(&mut canvas, Point::new(space.min.x + 3.0, space.max.y - 1.5), &scale, input.units);
    key.draw(&mut canvas, input, &columns);
    let words = Rect { min: DVec2::new(split, top), max: frame.max }.grown(-4.0);
    write_words(&mut canvas, input, &view, &key.shown, words, &scale);
    let drawing = Drawing {
        name: "section",
        title: format!(
            "{}: section from the side with the paths of early reflections",
            input.title
        ),
        size: frame::SHEET,
        paper: frame::paper(input.units),
        items: canvas.items,
    };
    let part = Rect { max: Point::new(frame.max.x, top), ..frame };
    let window = Window::of_room("section", "Section, from the left", part.grown(-0.5), &view);
    Sheet { drawing, windows: vec![window] }
}

/// Paths that touch no side wall and nothing that faces one; the others lie on top of these when seen from the side.
fn is_seen(view: &View, path: &Path) -> bool {
    path.bounces.iter().all(|bounce| match bounce.hit {
        Hit::Surface(surface) => view.edge_on(surface),
        Hit::Inside { sideways } => !sideways,
    })
}

/// Height of the band: what the list or the legend needs.
fn band(input: &Input, view: &View, paths: &[&Path]) -> f64 {
    let legend = Legend::new(input, view, paths, RIGHT - 8.0).height() + 17.2 + 5.0;
    let list = path_list::height(input, paths, 2);
    (legend.max(list) + 8.0).clamp(BAND[0], BAND[1])
}

fn list_columns(space: Rect) -> [Rect; 2] {
    let inner = space.grown(-4.0);
    let half = (inner.size().x - 5.0) / 2.0;
    let left = Rect { max: DVec2::new(inner.min.x + half, inner.max.y), ..inner };
    let right = Rect { min: DVec2::new(inner.max.x - half, inner.min.y), ..inner };
    [left, right]
}

fn write_words(
    canvas: &mut Canvas,
    input: &Input,
    view: &View,
    paths: &[&Path],
    space: Rect,
    scale: &DrawingScale,
) {
    let top = frame::title(
        canvas,
        space,
        input,
        "Section, from the left",
        &frame::on_paper(&scale.name, input.units),
    );
    let legend = Legend::new(input, view, paths, space.size().x);
    let below = Rect::new(space.min.x, space.min.y + top, space.max.x, space.max.y - 4.5);
    legend.draw(canvas, below);
    canvas.text(Text::new(CAPTION, Point::new(space.min.x, space.max.y), 2.5).secondary());
}

/// The largest scale at which the room and its dimensions fit.
fn fit(input: &Input, paths: &[&Path], space: Rect) -> (View, DrawingScale, [Vec<Tick>; 4]) {
    let space = Rect { max: space.max - DVec2::new(0.0, BAR), ..space };
    let unit = View::new(Side::Section, input.room, 1.0, space);
    let deep = |index: usize| {
        ordinate::depth(&marks(input, &unit, paths)[index], 2 <= index, Writing::Upright)
    };
    let inner = Rect {
        min: space.min + DVec2::new(deep(2), deep(0)),
        max: space.max - DVec2::new(deep(3), deep(1)),
    };
    let scale = drawing_scale::fitting(Side::Section.size_m(input.room), inner.size(), input.units);
    let view = View::new(Side::Section, input.room, scale.mm_per_m, inner);
    let marks = marks(input, &view, paths);
    (view, scale, marks)
}

/// Bounce points along the four edges, with heights of speakers and ears.
fn marks(input: &Input, view: &View, paths: &[&Path]) -> [Vec<Tick>; 4] {
    let mut marks = dimension_marks::along(input, view, paths);
    let height = |what: &str, z: f64| Tick {
        along: z * view.mm_per_m,
        tags: Vec::new(),
        distance: format!("{what} {}", lengths::written(z, input.units)),
        strong: false,
    };
    let mut heights: Vec<(f64, Vec<&str>)> = Vec::new();
    for speaker in &input.speakers {
        match heights.iter_mut().find(|(z, _)| (z - speaker.at.z).abs() < 0.005) {
            Some((_, names)) => names.push(&speaker.name),
            None => heights.push((speaker.at.z, vec![&speaker.name])),
        }
    }
    for (z, names) in &heights {
        let what = match names.as_slice() {
            [name] => typeface::fit(name, 2.3, crate::canvas::Weight::Regular, 22.0),
            _ if heights.len() == 1 => "speakers".to_owned(),
            [first, ..] => typeface::fit(first, 2.3, crate::canvas::Weight::Regular, 20.0) + " …",
            [] => continue,
        };
        marks[2].push(height(&what, *z));
    }
    marks[3].push(height("ears", input.listener.at.z));
    marks
}
