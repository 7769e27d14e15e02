//! Elevations: the six surfaces seen flat, with the zones where a panel would work.

use super::border::{self, CAPTION};
use super::canvas::{Canvas, words};
use super::elevation_words;
use super::face::{self, Marked};
use super::input::{Face, Input};
use super::model::{Drawing, Point, Rect, Weight};
use super::ordinate::{self, Writing};
use super::palette::{self, line};
use super::scale::{self, Scale};
use super::text;
use super::view::{Side, View};
use earline_engine::scene::Surface;
use glam::DVec2;

/// Space between drawings on one sheet.
const BETWEEN: f64 = 2.0;

/// The four sheets that show all six surfaces.
pub(crate) const ELEVATIONS: [fn(&Input) -> Drawing; 4] = [side_walls, end_walls, floor, ceiling];

/// Left edge of the column of words.
const COLUMN: f64 = 203.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 7.0;

fn side_walls(input: &Input) -> Drawing {
    let faces = [Surface::Left, Surface::Right];
    sheet(input, "elevation-sides", "Side walls, from inside", &faces)
}

fn end_walls(input: &Input) -> Drawing {
    let faces = [Surface::Front, Surface::Back];
    sheet(input, "elevation-ends", "Front and back, from inside", &faces)
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
        min: frame.min + DVec2::new(2.5, 1.5),
        max: DVec2::new(COLUMN - 2.5, frame.max.y - 2.0),
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
    let tall = (space.size().y + BETWEEN) / count.max(1) as f64;
    let cell = |index: usize| {
        let top = space.min.y + tall * index as f64;
        Rect::new(space.min.x, top, space.max.x, top + tall - BETWEEN)
    };
    (0..count).map(cell).collect()
}

/// Draws every face in its cell, all at the largest scale at which they fit.
fn draw_faces(
    canvas: &mut Canvas,
    input: &Input,
    faces: &[&Face],
    cells: &[Rect],
) -> Option<Scale> {
    let upright = Fit::new(input, faces, cells, Writing::Upright)?;
    let fit = if upright.is_crowded(input, faces, cells) {
        Fit::new(input, faces, cells, Writing::Turned)?
    } else {
        upright
    };
    for (face, cell) in faces.iter().zip(cells) {
        let title = words(face::title(face.on), cell.min + DVec2::new(1.0, 3.2), TITLE).strong();
        canvas.text(title);
        let view = fit.view(input, face, *cell);
        let spare = spare(face, &view, *cell);
        let marked = Marked { input, face, view: &view, writing: fit.writing, spare };
        face::draw(canvas, &marked, *cell);
    }
    Some(fit.scale)
}

/// One scale for the faces of a sheet, and the same space for dimensions around each.
struct Fit {
    scale: Scale,
    writing: Writing,
    /// Space at the top, bottom, left and right.
    deep: [f64; 4],
}

/// How far dimensions may reach past the corners at most.
const SPARE: f64 = 40.0;
/// Size of a surface's name.
const TITLE: f64 = 3.0;

impl Fit {
    fn new(input: &Input, faces: &[&Face], cells: &[Rect], writing: Writing) -> Option<Self> {
        let (first, cell) = (faces.first()?, cells.first()?);
        let side = Side::Face(first.on);
        let deep = std::array::from_fn(|edge| {
            let deep = |face: &&Face| {
                let unit = View::new(Side::Face(face.on), &input.room, 1.0, *cell);
                ordinate::depth(&face::marks(input, face, &unit)[edge], 2 <= edge, writing)
            };
            // At the top the surface's name stands beside the dimensions.
            faces.iter().map(deep).fold(if edge == 0 { 14.0 } else { 0.0 }, f64::max)
        });
        let inner = inner(*cell, deep);
        let scale = scale::fitting(side.size_m(&input.room), inner.size(), input.units);
        Some(Self { scale, writing, deep })
    }

    fn view(&self, input: &Input, face: &Face, cell: Rect) -> View {
        View::new(Side::Face(face.on), &input.room, self.scale.mm_per_m, inner(cell, self.deep))
    }

    fn is_crowded(&self, input: &Input, faces: &[&Face], cells: &[Rect]) -> bool {
        faces.iter().zip(cells).any(|(face, cell)| {
            let view = self.view(input, face, *cell);
            let spare = spare(face, &view, *cell);
            let marks = face::marks(input, face, &view);
            (0..2).any(|edge| {
                let wide = view.inside.size().x + 2.0 * spare[edge];
                ordinate::length(&marks[edge], false, Writing::Upright) > wide
            })
        })
    }
}

fn inner(cell: Rect, [top, bottom, left, right]: [f64; 4]) -> Rect {
    Rect { min: cell.min + DVec2::new(left, top), max: cell.max - DVec2::new(right, bottom) }
}

/// How far dimensions may reach past the corners at each edge: at the top as far as the name.
fn spare(face: &Face, view: &View, cell: Rect) -> [f64; 4] {
    let beside = (view.inside.min.x - cell.min.x).min(cell.max.x - view.inside.max.x);
    let name = text::width(face::title(face.on), TITLE, Weight::Semibold) + 3.0;
    [(beside - name).clamp(0.0, SPARE), beside.clamp(0.0, SPARE), 2.0, 2.0]
}
