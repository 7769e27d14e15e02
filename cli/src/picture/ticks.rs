//! Which bounce points are dimensioned along which wall.

use super::border;
use super::input::{Hit, Input, Path};
use super::model::{Point, Rect};
use super::ordinate::{Edge, Tick};
use super::paths;
use super::view::{Side, View};
use glam::DVec2;

/// The edges of a view with the tape hooked at the front or left end, or at the floor; in the
/// order of [`Side::edges`].
pub(crate) fn edges(view: &View) -> [Edge; 4] {
    let Rect { min, max } = view.inside;
    let corner = |x: f64, y: f64| Point::new(x, y);
    let edge = |zero, end, outward| Edge { zero, end, outward };
    // The tape runs from the front wall down the plan, and from the floor up the section.
    let (start, end) = match view.side {
        Side::Plan => (min.y, max.y),
        Side::Section => (max.y, min.y),
    };
    [
        edge(corner(min.x, min.y), corner(max.x, min.y), DVec2::NEG_Y),
        edge(corner(min.x, max.y), corner(max.x, max.y), DVec2::Y),
        edge(corner(min.x, start), corner(min.x, end), DVec2::NEG_X),
        edge(corner(max.x, start), corner(max.x, end), DVec2::X),
    ]
}

/// The marks along each edge: every first-order point on it, and its far end.
pub(crate) fn along(input: &Input, view: &View, paths: &[&Path]) -> [Vec<Tick>; 4] {
    let edges = edges(view);
    let surfaces = view.side.edges();
    std::array::from_fn(|index| {
        let (edge, surface) = (edges[index], surfaces[index]);
        let way = (edge.end - edge.zero).normalize_or_zero();
        let mut ticks: Vec<Tick> = Vec::new();
        for path in paths.iter().filter(|path| paths::at_the_wall(view, path)) {
            for bounce in path.bounces.iter().filter(|b| b.hit == Hit::Surface(surface)) {
                let along = (view.at(bounce.point) - edge.zero).dot(way);
                let distance = border::length(along / view.mm_per_m, input.units);
                let tag = paths::tag(path, 0);
                let same = |t: &&mut Tick| (t.along - along).abs() < 0.25 && t.distance == distance;
                match ticks.iter_mut().find(same) {
                    Some(tick) => tick.tags.push(tag),
                    None => ticks.push(Tick { along, tags: vec![tag], distance, strong: false }),
                }
            }
        }
        let whole = edge.zero.distance(edge.end);
        let distance = border::length(whole / view.mm_per_m, input.units);
        ticks.push(Tick { along: whole, tags: Vec::new(), distance, strong: true });
        ticks
    })
}

/// Where witness lines cross each wall, millimetres from its left or top end.
pub(crate) fn crossings(view: &View, ticks: &[Vec<Tick>; 4]) -> [Vec<f64>; 4] {
    let edges = edges(view);
    std::array::from_fn(|index| {
        let (edge, whole) = (edges[index], edges[index].zero.distance(edges[index].end));
        let backward = edge.end.y < edge.zero.y;
        let from_top = |along: f64| if backward { whole - along } else { along };
        ticks[index].iter().filter(|tick| !tick.strong).map(|tick| from_top(tick.along)).collect()
    })
}
