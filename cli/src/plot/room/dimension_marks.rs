//! Dimensions of bounce points along the walls.

use crate::canvas::{Point, Rect};
use crate::plot::data::input::{Hit, Input, Path};
use crate::plot::room::paths;
use crate::plot::room::projection::View;
use crate::plot::sheet::badge::Badge;
use crate::plot::sheet::lengths;
use crate::plot::sheet::ordinate::{Edge, Tick};
use earline_engine::scene::Units;
use glam::DVec2;

/// The edges of a view with the tape hooked at the front or left end, or at the floor; in the
/// order of `Side::edges`.
pub(crate) fn edges(view: &View) -> [Edge; 4] {
    let Rect { min, max } = view.inside;
    let corner = |x: f64, y: f64| Point::new(x, y);
    let edge = |zero, end, outward| Edge { zero, end, outward };
    // The tape runs from the front wall down the plan, and from the floor up the section.
    let zero = view.origin();
    let end = min + max - zero;
    [
        edge(corner(zero.x, min.y), corner(end.x, min.y), DVec2::NEG_Y),
        edge(corner(zero.x, max.y), corner(end.x, max.y), DVec2::Y),
        edge(corner(min.x, zero.y), corner(min.x, end.y), DVec2::NEG_X),
        edge(corner(max.x, zero.y), corner(max.x, end.y), DVec2::X),
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
                let distance = lengths::written(along / view.mm_per_m, input.units);
                add(&mut ticks, along, distance, Some(paths::badge(path, 0)));
            }
        }
        ticks.push(whole(&edge, view, input.units));
        ticks
    })
}

/// Adds a mark to a tape; what falls on a mark that is there joins it.
pub(crate) fn add(ticks: &mut Vec<Tick>, along: f64, distance: String, tag: Option<Badge>) {
    let same = |t: &&mut Tick| (t.along - along).abs() < 0.25 && t.distance == distance;
    if let Some(tick) = ticks.iter_mut().find(same) {
        tick.tags.extend(tag);
    } else {
        let tags = tag.into_iter().collect();
        ticks.push(Tick { along, tags, distance, strong: false });
    }
}

/// The mark at the far end of an edge.
pub(crate) fn whole(edge: &Edge, view: &View, units: Units) -> Tick {
    let along = edge.zero.distance(edge.end);
    let distance = lengths::written(along / view.mm_per_m, units);
    Tick { along, tags: Vec::new(), distance, strong: true }
}

/// Crossings of witness lines with each wall, millimetres from its left or top end.
pub(crate) fn crossings(view: &View, ticks: &[Vec<Tick>; 4]) -> [Vec<f64>; 4] {
    let edges = edges(view);
    std::array::from_fn(|index| {
        let (edge, whole) = (edges[index], edges[index].zero.distance(edges[index].end));
        let backward = edge.end.y < edge.zero.y || edge.end.x < edge.zero.x;
        let from_top = |along: f64| if backward { whole - along } else { along };
        ticks[index].iter().filter(|tick| !tick.strong).map(|tick| from_top(tick.along)).collect()
    })
}
