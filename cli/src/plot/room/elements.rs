//! The room and what is in it: walls, panels, screens, furniture.

use crate::canvas::{Canvas, Dash, Item, Outline, Point, Rect, Shape, Text, Weight, typeface};
use crate::plot::data::outlines;
use crate::plot::palette::{self, dashed, line};
use crate::plot::room::projection::{Side, View};
use crate::plot::sheet::ordinate::WALL;
use earline_engine::scene::{Furniture, Panel, Room, Screen, Surface};
use glam::{DVec2, DVec3};

/// Depth of a panel on paper where it is seen edge on.
const BAR: f64 = 1.7;
const NAME: f64 = 2.25;

/// Draws walls around the inside, with their names where no witness line crosses the wall.
/// `crossings` are millimetres along each of [`Side::edges`], from the left or top.
pub(crate) fn walls(canvas: &mut Canvas, view: &View, crossings: &[Vec<f64>; 4]) {
    let inside = view.inside;
    canvas.rect(inside.grown(WALL), Some(palette::WALL), None);
    canvas.rect(inside, Some(palette::FLOOR), Some(line(palette::INK, 0.3)));
    for (index, surface) in view.side.edges().into_iter().enumerate() {
        wall_name(canvas, inside, index, surface, &crossings[index]);
    }
    canvas.lines.extend(outline_of(inside));
}

fn wall_name(canvas: &mut Canvas, inside: Rect, index: usize, surface: Surface, crossings: &[f64]) {
    let name = surface.name();
    let upright = 2 <= index;
    let whole = if upright { inside.size().y } else { inside.size().x };
    let half = typeface::width(name, NAME, Weight::Semibold) / 2.0 + 0.8;
    let clear = |at: &f64| crossings.iter().all(|c| (c - at).abs() >= half);
    let Some(at) = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9]
        .map(|part| part * whole)
        .into_iter()
        .filter(|at| half <= *at && *at <= whole - half)
        .find(clear)
        .or_else(|| (2.0 * half <= whole).then_some(whole / 2.0))
    else {
        return; // a wall shorter than its name; the other three still tell
    };
    let half_wall = WALL / 2.0;
    let middle = match index {
        0 => Point::new(inside.min.x + at, inside.min.y - half_wall),
        1 => Point::new(inside.min.x + at, inside.max.y + half_wall),
        2 => Point::new(inside.min.x - half_wall, inside.min.y + at),
        _ => Point::new(inside.max.x + half_wall, inside.min.y + at),
    };
    let name = Text::new(name, middle, NAME).semibold().coloured(palette::PAPER).centred();
    let name = if upright { name.rotated() } else { name };
    canvas.text(name.middle_baseline());
}

/// Draws a piece of furniture; returns the area its name may lie in.
pub(crate) fn furniture(canvas: &mut Canvas, view: &View, piece: &Furniture) -> Option<Rect> {
    let seen = furniture_outline(view, piece);
    canvas.lines.extend(edges(&seen));
    let extent = Rect::bounding(&seen)?;
    canvas.polygon(seen, palette::FURNITURE, line(palette::FURNITURE_EDGE, 0.22));
    Some(extent)
}

/// The outline of a piece of furniture as it is seen.
pub(crate) fn furniture_outline(view: &View, piece: &Furniture) -> Vec<Point> {
    let base = outlines::furniture_base(piece);
    if view.side.is_from_above() {
        return base.map(|corner| view.at(corner)).to_vec();
    }
    let up = DVec3::Z * piece.size.z;
    let all: Vec<Point> = base.iter().flat_map(|&c| [view.at(c), view.at(c + up)]).collect();
    Rect::bounding(&all).map_or_else(Vec::new, |Rect { min, max }| {
        vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)]
    })
}

/// Draws a panel, hatched where it is cut and absorbs; returns the middle of what is seen of it, if it is seen edge on or from below
/// or above.
pub(crate) fn panel(
    canvas: &mut Canvas,
    view: &View,
    room: &Room,
    panel: &Panel,
    absorbs: bool,
) -> Option<Point> {
    let face = Rect::bounding(&outlines::panel(panel, room).map(|corner| view.at(corner)))?;
    if view.edge_on(panel.on) {
        let into = inward(view.side, panel.on) * BAR;
        let bar = Rect::bounding(&[face.min, face.max, face.min + into, face.max + into])?;
        if absorbs {
            hatched(canvas, bar);
        } else {
            reflecting(canvas, bar);
        }
        return Some(bar.middle() + into / 2.0);
    }
    canvas.rect(face, None, Some(dashed(palette::PANEL_EDGE, 0.2, Dash::Short)));
    canvas.lines.extend(outline_of(face));
    // Face on in the section: a side wall's panel, already on the plan with its letter.
    (view.side == Side::Plan).then(|| face.middle())
}

/// Draws what absorbs, filled and hatched.
pub(crate) fn hatched(canvas: &mut Canvas, area: Rect) {
    canvas.rect(area, Some(palette::PANEL), None);
    canvas.hatch(area, 1.15, line(palette::PANEL_EDGE, 0.16));
    canvas.rect(area, None, Some(line(palette::PANEL_EDGE, 0.25)));
    canvas.lines.extend(outline_of(area));
}

/// Draws what reflects, cut: an outline without a fill.
pub(crate) fn reflecting(canvas: &mut Canvas, area: Rect) {
    canvas.rect(area, Some(palette::PAPER), Some(line(palette::PANEL_EDGE, 0.25)));
    canvas.lines.extend(outline_of(area));
}

/// Draws a screen; returns the middle of what is seen of it.
pub(crate) fn screen(canvas: &mut Canvas, view: &View, screen: &Screen) -> Option<Point> {
    let seen = outlines::screen(screen).map(|corner| view.at(corner));
    canvas.lines.extend(edges(&seen));
    let middle = seen.iter().sum::<Point>() / 4.0;
    let area = (seen[1] - seen[0]).perp_dot(seen[3] - seen[0]).abs();
    if area < 1.0 {
        // Seen edge on: a bar along its longer side.
        let far =
            seen.into_iter().max_by(|a, b| a.distance(middle).total_cmp(&b.distance(middle)))?;
        let other = middle * 2.0 - far;
        let half = (far - other).perp().normalize_or_zero() * BAR / 2.0;
        let bar = vec![far + half, other + half, other - half, far - half];
        canvas.polygon(bar, palette::PANEL, line(palette::PANEL_EDGE, 0.25));
        return Some(middle);
    }
    let edge = dashed(palette::PANEL_EDGE, 0.32, Dash::Long);
    canvas.items.push(Item::Shape(Shape {
        outline: Outline::Polygon(seen.to_vec()),
        fill: None,
        stroke: Some(edge),
    }));
    Some(middle)
}

/// Into the room from an edge-on surface, on the sheet.
fn inward(side: Side, surface: Surface) -> DVec2 {
    let outward = [DVec2::NEG_Y, DVec2::Y, DVec2::NEG_X, DVec2::X];
    let index = side.edges().iter().position(|&s| s == surface);
    -index.and_then(|i| outward.get(i)).copied().unwrap_or(DVec2::ZERO)
}

pub(crate) fn outline_of(rect: Rect) -> Vec<[Point; 2]> {
    let Rect { min, max } = rect;
    edges(&[min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)])
}

pub(crate) fn edges(corners: &[Point]) -> Vec<[Point; 2]> {
    corners.iter().zip(corners.iter().cycle().skip(1)).map(|(&a, &b)| [a, b]).collect()
}
