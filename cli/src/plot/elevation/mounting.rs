//! New pieces on a surface, their edges and middles dimensioned to hang them.

use crate::canvas::text_column::TextColumn;
use crate::canvas::{Canvas, Dash, Point, Rect};
use crate::format::length;
use crate::plot::data::input::{self, Face, Input, LimitVerdict};
use crate::plot::data::outlines;
use crate::plot::elevation::before::screens_before;
use crate::plot::palette::{self, SpeakerStyle};
use crate::plot::room::dimension_marks;
use crate::plot::room::projection::View;
use crate::plot::sheet::badge::Badge;
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::lengths;
use crate::plot::sheet::ordinate::Tick;
use earline_engine::scene::{Screen, Surface};
use glam::DVec2;

/// A new piece on a surface: its letter, and its least and greatest tape coordinates, metres.
pub(crate) type HungRectangle<'a> = (&'a str, [DVec2; 2]);

/// The new piece of this name.
pub(crate) fn new_piece<'a>(input: &'a Input<'_>, name: &str) -> Option<&'a input::NewPiece> {
    input.hung.iter().find(|piece| piece.name == name)
}

/// How high a new piece on or below the ceiling hangs.
pub(crate) fn height(input: &Input, piece: &input::NewPiece) -> String {
    let mark = |metres: f64| lengths::with_fractions(&length::mark(metres, input.units));
    let ceiling_m = input.room.height_m;
    match piece.below_ceiling_m {
        Some(down_m) => {
            let up = mark(ceiling_m - down_m);
            format!("its middle {} below the ceiling, {up} up", mark(down_m))
        }
        None => format!("on the ceiling, {} up", mark(ceiling_m)),
    }
}

/// New pieces on a surface or hung before it.
pub(crate) fn hung<'a>(input: &'a Input<'a>, face: &Face) -> Vec<HungRectangle<'a>> {
    let is_new = |name: &String| new_piece(input, name).is_some();
    let panels = input.panels.iter().filter(|panel| panel.on == face.on && is_new(&panel.name));
    let panels = panels.map(|panel| (panel.letter.as_str(), outlines::panel_reach_m(panel)));
    // A cloud is hung from the ceiling, whichever zones it screens.
    let screens = screens_before(input, face)
        .into_iter()
        .filter(|screen| face.on == Surface::Ceiling && is_new(&screen.name))
        .map(|screen| (screen.letter.as_str(), reach_m(face.on, screen)));
    panels.chain(screens).collect()
}

fn reach_m(on: Surface, screen: &Screen) -> [DVec2; 2] {
    let corners = outlines::screen(screen).map(|corner| DVec2::from(on.tape(corner)));
    [DVec2::min, DVec2::max].map(|f| corners[1..].iter().copied().fold(corners[0], f))
}

/// The marks on the tapes: middles at the top and left, edges at the bottom and right.
pub(crate) fn marks(input: &Input, face: &Face, view: &View, axes: [usize; 2]) -> [Vec<Tick>; 4] {
    let mut marks: [Vec<Tick>; 4] = Default::default();
    for (letter, [low, high]) in hung(input, face) {
        let tag = Badge {
            content: letter.to_owned(),
            style: STYLE,
            verdict: LimitVerdict::Unjudged,
            first_order: true,
        };
        for (edge, mark) in marks.iter_mut().enumerate() {
            let axis = axes[edge / 2];
            let middle = f64::midpoint(low[axis], high[axis]);
            let places = if edge % 2 == 0 { vec![middle] } else { vec![low[axis], high[axis]] };
            for place in places {
                let distance = lengths::with_fractions(&length::mark(place, input.units));
                dimension_marks::add(mark, place * view.mm_per_m, distance, Some(tag.clone()));
            }
        }
    }
    marks
}

/// Style of the letters of new pieces on the tapes.
const STYLE: SpeakerStyle = SpeakerStyle {
    colour: palette::PANEL_EDGE,
    dash: Dash::Solid,
    badge_fill: palette::PANEL,
    badge_ink: palette::INK,
};

/// Sizes of type to try, millimetres.
const SIZES: [f64; 5] = [2.4, 2.2, 2.0, 1.8, 1.6];

/// Cautions, as large as they fit; where they do not fit at all, the place to read them.
pub(crate) fn cautions(canvas: &mut Canvas, cautions: &[String], space: Rect) {
    if cautions.is_empty() {
        return;
    }
    let write = |canvas: &mut Canvas, size: f64, words: &[String]| {
        let mut column = TextColumn::new(canvas, space, size);
        column.heading("Take care");
        for words in words {
            column.paragraph(words);
        }
        column.fits()
    };
    let fits = |size: &f64| write(&mut Canvas::default(), *size, cautions);
    match SIZES.into_iter().find(fits) {
        Some(size) => write(canvas, size, cautions),
        None => write(canvas, SIZES[0], &["Read the cautions in treat.json first.".to_owned()]),
    };
}

/// Areas that must stay clear on a surface, with their names.
pub(crate) fn kept_clear(
    canvas: &mut Canvas,
    input: &Input,
    face: &Face,
    view: &View,
    labels: &mut Labels,
) {
    for keep in input.kept_clear.iter().filter(|keep| keep.on == face.on) {
        let half = DVec2::from(keep.size_m) / 2.0;
        let corners = [-half, half].map(|way| view.on(face.on, DVec2::from(keep.centre_m) + way));
        let Some(area) = Rect::bounding(&corners) else { continue };
        canvas.rect(area, None, Some(palette::dashed(palette::SECONDARY, 0.3, Dash::Long)));
        let home = area.grown(-0.5);
        labels.name(&format!("{}: keep clear", keep.name), home.middle(), 0.5, Some(home));
    }
}

/// A cross at the middle of each new piece, to put the tape on.
pub(crate) fn crosses(canvas: &mut Canvas, input: &Input, face: &Face, view: &View) {
    for (_, [low, high]) in hung(input, face) {
        let at = view.on(face.on, (low + high) / 2.0);
        cross(canvas, at);
    }
}

/// The cross in the middle of a piece.
pub(crate) fn cross(canvas: &mut Canvas, at: Point) {
    for arm in [DVec2::new(1.6, 0.0), DVec2::new(0.0, 1.6)] {
        canvas.polyline(vec![at - arm, at + arm], palette::line(palette::INK, 0.3));
    }
}
