//! Elevations: the six surfaces seen flat, with the zones where a panel would work.

use super::border::{self, CAPTION};
use super::canvas::{Canvas, words};
use super::elevation_words;
use super::face::{self, Marked};
use super::input::{Face, Input};
use super::model::{Drawing, Point, Rect};
use super::ordinate::{self, Writing};
use super::palette::{self, line};
use super::scale::{self, Scale};
use super::view::{Side, View};
use earline_engine::scene::Surface;
use glam::DVec2;

/// The four sheets that show all six surfaces.
pub(crate) const ELEVATIONS: [fn(&Input) -> Drawing; 4] = [side_walls, end_walls, floor, ceiling];

/// Left edge of the column of words.
const COLUMN: f64 = 203.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 9.0;
/// Height of a surface's name over its drawing.
const NAME: f64 = 5.0;

fn side_walls(input: &Input) -> Drawing {
    let faces = [Surface::Left, Surface::Right];
    sheet(input, "elevation-sides", "Side walls, facing them", &faces)
}

fn end_walls(input: &Input) -> Drawing {
    let faces = [Surface::Front, Surface::Back];
    sheet(input, "elevation-ends", "Front and back, facing them", &faces)
}

fn floor(input: &Input) -> Drawing {
    sheet(input, "elevation-floor", "Floor, from above", &[Surface::Floor])
}

fn ceiling(input: &Input) -> Drawing {
    sheet(input, "elevation-ceiling", "Ceiling, as if from above", &[Surface::Ceiling])
}

/// Lays out a sheet of surfaces of one size, one under the other.
fn sheet(input: &Input, name: &'static str, kind: &str, surfaces: &[Surface]) -> Drawing {
    let mut canvas = Canvas::default();
    let frame = border::frame(&mut canvas);
    let ends = [frame.min.y, frame.max.y].map(|y| Point::new(COLUMN, y));
    canvas.polyline(ends.to_vec(), line(palette::INK, 0.2));
    let space = Rect {
        min: frame.min + DVec2::splat(2.5),
        max: DVec2::new(COLUMN - 2.5, frame.max.y - 2.5),
    };
    let column = Rect {
        min: DVec2::new(COLUMN + 4.0, frame.min.y + 4.0),
        max: frame.max - DVec2::splat(4.0),
    };
    let all = input.zones.iter().flat_map(|zones| &zones.faces);
    let faces: Vec<&Face> = all.filter(|face| surfaces.contains(&face.on)).collect();

    let cells = cells(Rect { max: space.max - DVec2::new(0.0, BAR), ..space }, faces.len());
    let scale = draw_faces(&mut canvas, input, &faces, &cells);
    let scale_name = scale.as_ref().map_or("", |scale| &scale.name);
    let top = border::title(&mut canvas, column, input, kind, &format!("{scale_name} on A4"));
    if let Some(scale) = &scale {
        let corner = Point::new(space.min.x + 3.0, space.max.y - 1.5);
        border::scale_bar(&mut canvas, corner, scale, input.units);
    }
    let below = Rect { min: column.min + DVec2::new(0.0, top + 1.5), ..column };
    elevation_words::write(&mut canvas, input, &faces, below);
    canvas.text(words(CAPTION, Point::new(column.min.x, column.max.y), 2.5).quiet());
    Drawing {
        name,
        title: format!("{}: {kind}, with the zones where a panel would work", input.title),
        size: border::SHEET,
        items: canvas.items,
    }
}

/// Equal parts of a space, from the top down.
fn cells(space: Rect, count: usize) -> Vec<Rect> {
    let tall = space.size().y / count.max(1) as f64;
    let cell = |index: usize| {
        let top = space.min.y + tall * index as f64;
        Rect::new(space.min.x, top, space.max.x, top + tall)
    };
    (0..count).map(cell).collect()
}

/// Draws every face in its cell, all at the largest scale at which each fits.
fn draw_faces(
    canvas: &mut Canvas,
    input: &Input,
    faces: &[&Face],
    cells: &[Rect],
) -> Option<Scale> {
    let fitted = |writing: Writing| {
        let fit = |(face, cell): (&&Face, &Rect)| fit(input, face, *cell, writing);
        let smallest = faces.iter().zip(cells).map(fit);
        smallest.min_by(|(a, _), (b, _)| a.mm_per_m.total_cmp(&b.mm_per_m))
    };
    let (scale, inner) = fitted(Writing::Upright)?;
    let crowded = |face: &&Face| {
        let view = View::new(Side::Face(face.on), &input.room, scale.mm_per_m, inner);
        let wide = view.inside.size().x + 2.0 * SPARE.min(view.inside.min.x - cells[0].min.x);
        let marks = face::marks(input, face, &view);
        marks[..2].iter().any(|m| ordinate::length(m, false, Writing::Upright) > wide)
    };
    let writing = if faces.iter().any(crowded) { Writing::Turned } else { Writing::Upright };
    let (scale, _) = fitted(writing)?;
    for (face, cell) in faces.iter().zip(cells) {
        let (_, inner) = fit(input, face, *cell, writing);
        let view = View::new(Side::Face(face.on), &input.room, scale.mm_per_m, inner);
        let name = words(face::title(face.on), cell.min + DVec2::new(1.0, 3.2), 3.0).strong();
        canvas.text(name);
        let spare = [SPARE.min(view.inside.min.x - cell.min.x), 2.0];
        let area = Rect { min: cell.min + DVec2::new(0.0, NAME), ..*cell };
        face::draw(canvas, &Marked { input, face, view: &view, writing, spare }, area);
    }
    Some(scale)
}

/// How far dimensions may reach past the corners at most.
const SPARE: f64 = 18.0;

/// The scale at which a face fits in its cell, and the space that its dimensions leave.
fn fit(input: &Input, face: &Face, cell: Rect, writing: Writing) -> (Scale, Rect) {
    let unit = View::new(Side::Face(face.on), &input.room, 1.0, cell);
    let marks = face::marks(input, face, &unit);
    let deep = |index: usize| ordinate::depth(&marks[index], 2 <= index, writing);
    let inner = Rect {
        min: cell.min + DVec2::new(deep(2), deep(0) + NAME),
        max: cell.max - DVec2::new(deep(3), deep(1)),
    };
    let size_m = unit.side.size_m(&input.room);
    (scale::fitting(size_m, inner.size(), input.units), inner)
}
