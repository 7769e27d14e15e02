//! Layout of surfaces seen flat on a sheet: all at one scale, with tapes around them.

use crate::canvas::{Canvas, Rect, Text, Weight, typeface};
use crate::plot::data::input::{Face, Input};
use crate::plot::elevation::face::{self, DimensionLines, FaceView};
use crate::plot::room::projection::{Side, View};
use crate::plot::sheet::drawing_scale::{self, DrawingScale};
use crate::plot::sheet::ordinate::{self, WALL, Writing};
use crate::plot::sheet::viewport::Window;
use glam::DVec2;

/// A surface on a sheet. All of a sheet have one size.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FacePanel<'a> {
    /// The room with everything in it.
    pub(crate) input: &'a Input<'a>,
    /// The surface.
    pub(crate) face: &'a Face,
    /// Its title.
    pub(crate) title: &'a str,
}

/// Parts that have found their place.
#[derive(Debug, Clone)]
pub(crate) struct ElevationLayout<'a> {
    parts: &'a [FacePanel<'a>],
    cells: Vec<Rect>,
    /// Their scale.
    pub(crate) scale: DrawingScale,
    /// Direction of the writing at the top and bottom; `None` where there are no tapes at all.
    tapes: Option<Writing>,
    titles: Titles,
    /// Space at the top, bottom, left and right of each.
    deep: [f64; 4],
}

/// Position of the titles.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Titles {
    /// In the corner, beside the dimensions at the top.
    Beside,
    /// Over the drawing and its dimensions.
    Above,
}

/// Space between drawings on one sheet.
const BETWEEN: f64 = 2.0;
/// Height of a title over a drawing.
const ABOVE: f64 = 5.0;
/// Most space for dimensions past the corners, and at the edges that run down.
const SPARE: [f64; 2] = [40.0, 2.0];
/// Size of a title.
const TITLE: f64 = 3.0;
/// Tapes may make drawings smaller down to this part of their size without.
const WORTH_TAPES: f64 = 0.7;

impl<'a> ElevationLayout<'a> {
    /// One under the other, with tapes.
    pub(crate) fn stacked(parts: &'a [FacePanel<'a>], space: Rect) -> Option<Self> {
        Self::taped(parts, cells(space, parts.len(), 1), Titles::Beside)
    }

    /// In the rows and columns that allow the largest scale, with tapes if these leave the drawings
    /// a good part of their size.
    pub(crate) fn side_by_side(parts: &'a [FacePanel<'a>], space: Rect) -> Option<Self> {
        let whole = |columns: usize| cells(space, parts.len(), columns);
        let below = |cell: Rect| Rect { min: cell.min + DVec2::Y * ABOVE, ..cell };
        let titled = |columns: usize| whole(columns).into_iter().map(below).collect::<Vec<_>>();
        let larger = |a: Self, b: Self| if b.scale.mm_per_m >= a.scale.mm_per_m { b } else { a };
        let columns = || 1..=parts.len();
        let bare = columns()
            .filter_map(|n| Self::new(parts, titled(n), None, Titles::Above))
            .reduce(larger)?;
        let taped = columns()
            .flat_map(|n| {
                let above = Self::taped(parts, titled(n), Titles::Above);
                above.into_iter().chain(Self::taped(parts, whole(n), Titles::Beside))
            })
            .filter(Self::has_room)
            .reduce(larger);
        let is_worth_it = |taped: &Self| WORTH_TAPES * bare.scale.mm_per_m <= taped.scale.mm_per_m;
        Some(taped.filter(is_worth_it).unwrap_or(bare))
    }

    fn taped(parts: &'a [FacePanel<'a>], cells: Vec<Rect>, titles: Titles) -> Option<Self> {
        let upright = Self::new(parts, cells, Some(Writing::Upright), titles)?;
        if upright.is_crowded(Writing::Upright, &[0, 1]) {
            Self::new(parts, upright.cells, Some(Writing::Rotated), titles)
        } else {
            Some(upright)
        }
    }

    fn new(
        parts: &'a [FacePanel<'a>],
        cells: Vec<Rect>,
        tapes: Option<Writing>,
        titles: Titles,
    ) -> Option<Self> {
        let (first, cell) = (parts.first()?, cells.first()?);
        let side = Side::Face(first.face.on);
        let deep = std::array::from_fn(|edge| {
            let Some(writing) = tapes else { return WALL + 1.0 };
            let deep = |part: &FacePanel<'_>| {
                let unit = View::new(Side::Face(part.face.on), part.input.room, 1.0, *cell);
                let marks = face::marks(part.input, part.face, &unit);
                ordinate::depth(&marks[edge], 2 <= edge, writing)
            };
            // At the top the surface's name stands beside the dimensions.
            let least = if edge == 0 && titles == Titles::Beside { 14.0 } else { 0.0 };
            parts.iter().map(deep).fold(least, f64::max)
        });
        let size = inner(*cell, deep).size();
        let scale = drawing_scale::fitting(side.size_m(first.input.room), size, first.input.units);
        Some(Self { parts, cells, scale, tapes, titles, deep })
    }

    /// Whether tapes with their dimensions are drawn.
    pub(crate) fn has_tapes(&self) -> bool {
        self.tapes.is_some()
    }

    /// Draws all parts.
    pub(crate) fn draw(&self, canvas: &mut Canvas) {
        for (part, &cell) in self.parts.iter().zip(&self.cells) {
            let view = self.view(part, cell);
            let at = match self.titles {
                Titles::Beside => cell.min + DVec2::new(1.0, 3.2),
                Titles::Above => view.inside.min - DVec2::new(WALL, self.deep[0] + 1.6),
            };
            let title = typeface::fit(part.title, TITLE, Weight::Semibold, cell.max.x - at.x);
            canvas.text(Text::new(title, at, TITLE).semibold());
            let tapes = self
                .tapes
                .map(|writing| DimensionLines { writing, spare: self.spare(part, &view, cell) });
            let marked = FaceView { input: part.input, face: part.face, view: &view, tapes };
            face::draw(canvas, &marked, cell);
        }
    }

    /// Viewport of each surface.
    pub(crate) fn windows(&self) -> Vec<Window> {
        let both = self.parts.iter().zip(&self.cells);
        both.map(|(part, &cell)| {
            let view = self.view(part, cell);
            Window::of_room(part.face.on.name(), part.title, cell.grown(1.2), &view)
        })
        .collect()
    }

    fn view(&self, part: &FacePanel<'_>, cell: Rect) -> View {
        let side = Side::Face(part.face.on);
        View::new(side, part.input.room, self.scale.mm_per_m, inner(cell, self.deep))
    }

    /// Space for dimensions past the corners at each edge: at the top as far as the title.
    fn spare(&self, part: &FacePanel<'_>, view: &View, cell: Rect) -> [f64; 4] {
        let beside = (view.inside.min.x - cell.min.x).min(cell.max.x - view.inside.max.x);
        let [most, down] = SPARE;
        let top = (beside - self.title_beside(part)).clamp(0.0, most);
        [top, beside.clamp(0.0, most), down, down]
    }

    /// Width that the title takes of the space beside the drawing.
    fn title_beside(&self, part: &FacePanel<'_>) -> f64 {
        match self.titles {
            Titles::Beside => typeface::width(part.title, TITLE, Weight::Semibold) + 3.0,
            Titles::Above => 0.0,
        }
    }

    /// Whether the dimensions at some of the edges are more than there is room for.
    fn is_crowded(&self, writing: Writing, edges: &[usize]) -> bool {
        self.parts.iter().zip(&self.cells).any(|(part, &cell)| {
            let view = self.view(part, cell);
            let spare = self.spare(part, &view, cell);
            let marks = face::marks(part.input, part.face, &view);
            let size = view.inside.size();
            edges.iter().any(|&edge| {
                let along = if 2 <= edge { size.y } else { size.x };
                ordinate::length(&marks[edge], 2 <= edge, writing) > along + 2.0 * spare[edge]
            })
        })
    }

    /// Whether there is room for all dimensions, and for titles beside them.
    fn has_room(&self) -> bool {
        let crowded = self.tapes.is_some_and(|writing| self.is_crowded(writing, &[0, 1, 2, 3]));
        let titled = |(part, cell): (&FacePanel<'_>, &Rect)| {
            self.title_beside(part) <= self.view(part, *cell).inside.min.x - cell.min.x
        };
        !crowded && self.parts.iter().zip(&self.cells).all(titled)
    }
}

/// Equal parts of a space, row by row.
fn cells(space: Rect, count: usize, columns: usize) -> Vec<Rect> {
    let columns = columns.max(1);
    let rows = count.div_ceil(columns).max(1);
    let step = (space.size() + DVec2::splat(BETWEEN)) / DVec2::new(columns as f64, rows as f64);
    let cell = |index: usize| {
        let place = DVec2::new((index % columns) as f64, (index / columns) as f64);
        let min = space.min + step * place;
        Rect { min, max: min + step - DVec2::splat(BETWEEN) }
    };
    (0..count).map(cell).collect()
}

fn inner(cell: Rect, [top, bottom, left, right]: [f64; 4]) -> Rect {
    Rect { min: cell.min + DVec2::new(left, top), max: cell.max - DVec2::new(right, bottom) }
}
