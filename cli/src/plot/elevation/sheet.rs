//! Elevations: the six surfaces seen flat, with the zones where a panel would work; in one state of
//! the room, or one surface in several states.

use crate::canvas::{Canvas, Drawing, Paper, Point, Rect, Text, Weight, typeface};
use crate::plot::data::from_compared::{ShownState, in_common};
use crate::plot::data::input::{Face, Input};
use crate::plot::elevation::layout::{ElevationLayout, FacePanel};
use crate::plot::elevation::zone_list::{self, ZoneList};
use crate::plot::elevation::{face, mounting};
use crate::plot::palette::{self, line};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::scale_bar::scale_bar;
use crate::plot::sheet::viewport::Sheet;
use earline_engine::scene::Surface;
use glam::DVec2;

/// A sheet of surfaces of one size, one under the other.
struct Elevation {
    name: &'static str,
    title: &'static str,
    surfaces: &'static [Surface],
}

const SHEETS: [Elevation; 4] = [
    Elevation {
        name: "elevation-sides",
        title: "Side walls, from inside",
        surfaces: &[Surface::Left, Surface::Right],
    },
    Elevation {
        name: "elevation-ends",
        title: "Front and back, from inside",
        surfaces: &[Surface::Front, Surface::Back],
    },
    Elevation { name: "elevation-floor", title: "Floor, from above", surfaces: &[Surface::Floor] },
    Elevation {
        name: "elevation-ceiling",
        title: "Ceiling, as if from above",
        surfaces: &[Surface::Ceiling],
    },
];

/// The four sheets that show all six surfaces.
pub(crate) const ELEVATIONS: [fn(&Input<'_>) -> Drawing; 4] =
    [elevation::<0>, elevation::<1>, elevation::<2>, elevation::<3>];

fn elevation<const SHEET: usize>(input: &Input<'_>) -> Drawing {
    one_state(input, &SHEETS[SHEET]).drawing
}

/// The sheets of one state with where each surface is on them.
pub(crate) fn elevation_sheets(input: &Input<'_>) -> Vec<Sheet> {
    SHEETS.iter().map(|sheet| one_state(input, sheet)).collect()
}

/// Names of the sheets to hang from, in the order of [`SHEETS`].
const MOUNTING: [&str; 4] = ["hang-sides", "hang-ends", "hang-floor", "hang-ceiling"];

/// The sheets of the surfaces that something new goes on.
pub(crate) fn hangings(input: &Input<'_>) -> Vec<Drawing> {
    let faces = || input.zones.iter().flat_map(|zones| &zones.faces);
    let is_busy = |on: &Surface| {
        faces().any(|face| face.on == *on && !mounting::hung(input, face).is_empty())
    };
    let busy = SHEETS.iter().zip(MOUNTING).filter(|(sheet, _)| sheet.surfaces.iter().any(is_busy));
    busy.map(|(sheet, name)| {
        let drawn = one_state(input, sheet).drawing;
        let title = format!("{}: where to hang what is new", drawn.title);
        Drawing { name, title, ..drawn }
    })
    .collect()
}

/// Left edge of the column of words.
const COLUMN: f64 = 203.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 7.0;
/// Width that the scale bar with its name takes.
const BESIDE_BAR: f64 = 100.0;
/// States that find a place on a sheet.
const STATES: usize = 4;

fn one_state(input: &Input<'_>, sheet: &Elevation) -> Sheet {
    let Elevation { name, title: kind, surfaces } = *sheet;
    let all = input.zones.iter().flat_map(|zones| &zones.faces);
    let parts: Vec<FacePanel<'_>> = all
        .filter(|face| surfaces.contains(&face.on))
        .map(|face| FacePanel { input, face, title: face::title(face.on) })
        .collect();
    let (kind, document) = if input.hung.is_empty() {
        (kind.to_owned(), "trace.json")
    } else {
        (format!("Hang: {}", in_short(kind)), "treat.json")
    };
    let sheet = PageLayout { name, kind: &kind, common: input, parts: &parts, left_out: None };
    sheet.draw(ElevationLayout::stacked, document)
}

/// A title within a title, short enough to stand beside a scale.
fn in_short(title: &str) -> String {
    let short = title.replace(", from inside", "").replace("as if ", "");
    let mut letters = short.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// Lays out one surface in every state of a comparison, at one scale.
pub(crate) fn elevations(shown: &[ShownState], on: Surface) -> Drawing {
    let (name, kind) = match on {
        Surface::Front => ("compare-elevation-front", "Front wall, from inside"),
        Surface::Back => ("compare-elevation-back", "Back wall, from inside"),
        Surface::Left => ("compare-elevation-left", "Left wall, from inside"),
        Surface::Right => ("compare-elevation-right", "Right wall, from inside"),
        Surface::Floor => ("compare-elevation-floor", "Floor, from above"),
        Surface::Ceiling => ("compare-elevation-ceiling", "Ceiling, as if from above"),
    };
    let Some(common) = in_common(shown) else {
        let mut canvas = Canvas::default();
        frame::frame(&mut canvas);
        let title = format!("{kind}, compared");
        let (size, paper) = (frame::SHEET, Paper::AsDrawn);
        return Drawing { name, title, size, paper, items: canvas.items };
    };
    let groups = alike(shown, on);
    let drawn = &groups[..groups.len().min(STATES)];
    let title = |group: &Vec<&ShownState<'_>>| match group.len() {
        2 if shown.len() == 2 => "in both states".to_owned(),
        states if 2 < states && states == shown.len() => format!("in all {states} states"),
        _ => group.iter().map(|state| state.name.as_str()).collect::<Vec<_>>().join(", "),
    };
    let titles: Vec<String> = drawn.iter().map(title).collect();
    let firsts = drawn.iter().filter_map(|group| group.first());
    let parts: Vec<FacePanel<'_>> =
        firsts.zip(&titles).filter_map(|(first, title)| part(first, title, on)).collect();
    let more: usize = groups[drawn.len()..].iter().map(Vec::len).sum();
    let left_out = (more > 0).then(|| format!("and {more} more states, in compare.json"));
    let sheet = PageLayout { name, kind, common: &common, parts: &parts, left_out };
    sheet.draw(ElevationLayout::side_by_side, "compare.json").drawing
}

/// Says in large letters how a ceiling is drawn, beside the scale bar.
fn from_above(canvas: &mut Canvas, space: Rect) {
    let says = "Drawn as if from above: lay it on the floor";
    let room = space.size().x - BESIDE_BAR;
    let wide = |size: &f64| typeface::width(says, *size, Weight::Semibold) <= room;
    let size = [4.4, 4.0, 3.6].into_iter().find(wide).unwrap_or(3.6);
    let at = space.max - DVec2::new(1.0, 3.0);
    canvas.text(Text::new(says, at, size).semibold().anchor_end());
}

fn part<'a>(state: &'a ShownState<'a>, title: &'a str, on: Surface) -> Option<FacePanel<'a>> {
    Some(FacePanel { input: &state.input, face: face_of(&state.input, on)?, title })
}

fn face_of<'a>(input: &'a Input<'_>, on: Surface) -> Option<&'a Face> {
    input.zones.as_ref()?.faces.iter().find(|face| face.on == on)
}

/// States in which a surface is drawn alike, in the order of the first of each: it is drawn once for all.
fn alike<'s, 'a>(shown: &'s [ShownState<'a>], on: Surface) -> Vec<Vec<&'s ShownState<'a>>> {
    let mut groups: Vec<Vec<&ShownState<'a>>> = Vec::new();
    for state in shown {
        let same = |group: &&mut Vec<&ShownState<'a>>| {
            group.first().is_some_and(|first| face::is_alike(&first.input, &state.input, on))
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.push(state),
            None => groups.push(vec![state]),
        }
    }
    groups
}

/// Drawings at the left and words at the right.
struct PageLayout<'a> {
    name: &'static str,
    kind: &'a str,
    /// Content of title and legend.
    common: &'a Input<'a>,
    parts: &'a [FacePanel<'a>],
    /// A note on parts that have no place.
    left_out: Option<String>,
}

impl<'a> PageLayout<'a> {
    /// Draws it; what has no room in the list is said to be in the document of this name.
    fn draw(
        &self,
        lay_out: fn(&'a [FacePanel<'a>], Rect) -> Option<ElevationLayout<'a>>,
        document: &str,
    ) -> Sheet {
        let mut canvas = Canvas::default();
        let frame = frame::frame(&mut canvas);
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
        let layout = lay_out(self.parts, Rect { max: space.max - DVec2::new(0.0, BAR), ..space });
        if let Some(layout) = &layout {
            layout.draw(&mut canvas);
        }
        let scale = layout.as_ref().map(|layout| &layout.scale);
        let units = self.common.units;
        let on_paper = frame::on_paper(scale.map_or("", |scale| &scale.name), units);
        let top = frame::title(&mut canvas, column, self.common, self.kind, &on_paper);
        if let Some(scale) = scale {
            let corner = Point::new(space.min.x + 3.0, space.max.y - 1.5);
            scale_bar(&mut canvas, corner, scale, units);
        }
        if self.parts.iter().any(|part| part.face.on == Surface::Ceiling) {
            from_above(&mut canvas, space);
        }
        if let Some(note) = &self.left_out {
            canvas.text(Text::new(note.clone(), space.max, 2.3).secondary().anchor_end());
        }
        let below = Rect { min: column.min + DVec2::new(0.0, top + 1.5), ..column };
        let with_points = layout.as_ref().is_some_and(|layout| !layout.has_tapes());
        let list = ZoneList { parts: self.parts, with_points, document };
        zone_list::write(&mut canvas, &list, below);
        canvas.text(Text::new(CAPTION, Point::new(column.min.x, column.max.y), 2.5).secondary());
        let drawing = Drawing {
            name: self.name,
            title: format!(
                "{}: {}, with the zones where a panel would work",
                self.common.title, self.kind
            ),
            size: frame::SHEET,
            paper: frame::paper(self.common.units),
            items: canvas.items,
        };
        let windows = layout.as_ref().map_or_else(Vec::new, ElevationLayout::windows);
        Sheet { drawing, windows }
    }
}
