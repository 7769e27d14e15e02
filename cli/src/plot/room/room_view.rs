//! The room with everything in it and all paths through it: what plan and section draw alike.

use crate::canvas::{Canvas, Dash, Point, Rect};
use crate::plot::data::input::{Input, Path};
use crate::plot::palette::{self, dashed};
use crate::plot::room::projection::{Side, View};
use crate::plot::room::{coincidence, dimension_marks, elements, paths, symbol};
use crate::plot::sheet::badge::Badge;
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::ordinate::{self, Tick, Writing};
use glam::{DVec2, DVec3};

/// Contents of the room, and the tapes along the four edges in the order of [`Side::edges`].
#[derive(Debug, Clone, Copy)]
pub(crate) struct RoomContents<'a> {
    /// The room with everything in it.
    pub(crate) input: &'a Input<'a>,
    /// The paths shown.
    pub(crate) paths: &'a [&'a Path],
    /// The marks on each tape.
    pub(crate) marks: &'a [Vec<Tick>; 4],
    /// Direction of the writing at the top and bottom.
    pub(crate) writing: Writing,
    /// Space for labels past the ends of each edge, millimetres.
    pub(crate) spare: [f64; 4],
}

/// Draws it all; names and numbers stay inside an area.
pub(crate) fn draw(canvas: &mut Canvas, view: &View, inside: &RoomContents<'_>, area: Rect) {
    let RoomContents { input, paths, marks, writing, spare } = *inside;
    let mut labels = Labels::default();
    elements::walls(canvas, view, &dimension_marks::crossings(view, marks));
    things(canvas, view, input, &mut labels);
    for (index, (edge, ticks)) in dimension_marks::edges(view).into_iter().zip(marks).enumerate() {
        ordinate::draw(canvas, edge, ticks, writing, spare[index]);
    }
    if view.side == Side::Section {
        heights(canvas, view, input);
    }
    sound(canvas, view, input, paths, true, &mut labels);
    labels.write(canvas, area);
}

/// Draws what stands and hangs in the room.
pub(crate) fn things(canvas: &mut Canvas, view: &View, input: &Input, labels: &mut Labels) {
    for piece in &input.furniture {
        let home = elements::furniture(canvas, view, piece);
        if let Some(home) = home {
            labels.name(&piece.name, home.middle(), 0.5, Some(home));
        }
    }
    for panel in &input.panels {
        if let Some(at) = elements::panel(canvas, view, input.room, panel, panel.absorbs) {
            labels.letter(&panel.letter, at, 0.4);
        }
    }
    // From the side a screen is a bar, and its letter stands clear of that.
    let clear = if view.side == Side::Section { 0.9 } else { 0.4 };
    for screen in &input.screens {
        if let Some(at) = elements::screen(canvas, view, screen) {
            labels.letter(&screen.letter, at, clear);
        }
    }
}

/// Draws speakers, head and the paths between them; the names of the speakers only if `named`.
pub(crate) fn sound(
    canvas: &mut Canvas,
    view: &View,
    input: &Input,
    paths: &[&Path],
    named: bool,
    labels: &mut Labels,
) {
    paths::lines(canvas, view, input, paths);
    // Both of a pair often stand behind one another: they are drawn as one, with both names.
    for (index, speaker) in input.speakers.iter().enumerate() {
        let style = paths::speaker_style(view, input, index);
        let body = symbol::speaker(canvas, view, speaker, style);
        canvas.solid.push(body);
        let alike = coincidence::speakers_alike(view, input, index);
        if named && alike.first() == Some(&index) {
            let clear = body.size().min_element() / 2.0;
            for &other in &alike {
                labels.name(&input.speakers[other].name, body.middle(), clear, None);
            }
        }
    }
    let head = symbol::head(canvas, view, &input.listener);
    canvas.solid.push(head);
    labels.name(&input.listener.name, head.middle(), head.size().min_element() / 2.0, None);
    paths::marks(canvas, view, input, paths);
    numbers(canvas, view, paths, labels);
}

/// Numbers at points nearer than this stand together, with one leader, millimetres.
const TOGETHER: f64 = 1.2;

/// Asks for a place for every number that is not at the dimensions.
fn numbers(canvas: &mut Canvas, view: &View, paths: &[&Path], labels: &mut Labels) {
    let mut together: Vec<(Point, f64, Vec<Badge>)> = Vec::new();
    for path in paths {
        let radius = paths::radius(path);
        for (index, bounce) in path.bounces.iter().enumerate() {
            let at = view.at(bounce.point);
            canvas.solid.push(Rect::around(at, DVec2::splat(2.0 * radius)));
            if !paths::at_the_wall(view, path) {
                let badge = paths::badge(path, index);
                let is_near =
                    |(other, ..): &&mut (Point, f64, Vec<Badge>)| other.distance(at) < TOGETHER;
                match together.iter_mut().find(is_near) {
                    Some((_, clear, badges)) => {
                        *clear = clear.max(radius + 0.2);
                        badges.push(badge);
                    }
                    None => together.push((at, radius + 0.2, vec![badge])),
                }
            }
        }
    }
    for (at, clear, badges) in together {
        labels.badges(&badges, at, clear);
    }
}

/// Fine lines from speakers and ears to the walls where their heights are written.
fn heights(canvas: &mut Canvas, view: &View, input: &Input) {
    let fine = dashed(palette::DIMENSION, 0.13, Dash::Chain);
    let wall = |x: f64, z: f64| view.at(DVec3::new(x, 0.0, z));
    for speaker in &input.speakers {
        canvas.polyline(vec![wall(0.0, speaker.at.z), view.at(speaker.at)], fine);
    }
    let ears = input.listener.at;
    canvas.polyline(vec![view.at(ears), wall(input.room.length_m, ears.z)], fine);
}
