//! Speakers, heads and bounce points as small drawings.

use crate::canvas::{Canvas, Outline, Point, Rect};
use crate::plot::data::input::{Hit, ListenerHead};
use crate::plot::data::outlines;
use crate::plot::palette::{self, SpeakerStyle, line};
use crate::plot::room::projection::View;
use earline_engine::scene::{Speaker, Surface};
use glam::{DVec2, DVec3};

/// Draws a speaker turned to its aim; returns the space it takes.
pub(crate) fn speaker(
    canvas: &mut Canvas,
    view: &View,
    speaker: &Speaker,
    style: SpeakerStyle,
) -> Rect {
    let [front, axis] = outlines::speaker_front(speaker);
    let at = view.at(front);
    let Some([height_m, width_m, depth_m]) = outlines::cabinet_m(speaker) else {
        canvas.circle(at, 1.7, Some(palette::PAPER), Some(line(palette::INK, 0.3)));
        canvas.circle(at, 0.8, Some(style.colour), None);
        return Rect::around(at, DVec2::splat(3.4));
    };
    let across_m = if view.side.is_from_above() { width_m } else { height_m };
    // Never so small that it cannot be found.
    let least = 2.6 / view.mm_per_m;
    let axis = view.toward(axis);
    // Seen along its own axis it has no direction to show.
    let front = if axis.length() < 0.2 { DVec2::Y } else { axis.normalize() };
    let deep = front * depth_m.max(least) * view.mm_per_m * axis.length().max(0.2);
    let half = front.perp() * across_m.max(least) * view.mm_per_m / 2.0;
    let body = vec![at - half, at + half, at - deep + half * 0.92, at - deep - half * 0.92];
    let extent = Rect::bounding(&body).unwrap_or(Rect::around(at, DVec2::ONE));
    canvas.polygon(body, palette::PAPER, line(palette::INK, 0.3));
    let baffle = front * 0.75;
    let face = vec![at - half, at + half, at + half - baffle, at - half - baffle];
    canvas.polygon(face, style.colour, line(palette::INK, 0.2));
    extent
}

/// Draws a listener's head; returns the space it takes.
pub(crate) fn head(canvas: &mut Canvas, view: &View, listener: &ListenerHead) -> Rect {
    let at = view.at(listener.at);
    let ahead = view.toward(listener.ahead);
    let ahead = if ahead.length() < 0.2 { DVec2::NEG_Y } else { ahead.normalize() };
    // A head is some 19 cm long; on paper never smaller than this.
    let long = (0.19 * view.mm_per_m).max(3.6);
    if view.side.is_from_above() {
        head_from_above(canvas, at, ahead, long)
    } else {
        head_from_the_side(canvas, at, ahead, long)
    }
}

fn head_from_above(canvas: &mut Canvas, at: Point, ahead: DVec2, long: f64) -> Rect {
    let across = ahead.perp();
    let place = |x: f64, y: f64| at + ahead * x * long + across * y * long;
    let shoulders = ellipse(place(-0.1, 0.0), ahead * 0.52 * long, across * 1.22 * long);
    let extent = Rect::bounding(&shoulders);
    canvas.polygon(shoulders, palette::VEIL, line(palette::SECONDARY, 0.18));
    let ink = line(palette::INK, 0.25);
    for side in [-1.0, 1.0] {
        let ear = ellipse(place(-0.02, 0.42 * side), ahead * 0.13 * long, across * 0.09 * long);
        canvas.polygon(ear, palette::PAPER, ink);
    }
    canvas.polygon(
        vec![place(0.44, -0.12), place(0.64, 0.0), place(0.44, 0.12)],
        palette::PAPER,
        ink,
    );
    canvas.polygon(ellipse(at, ahead * 0.5 * long, across * 0.41 * long), palette::PAPER, ink);
    canvas.circle(at, 0.3, Some(palette::INK), None);
    extent.unwrap_or(Rect::around(at, DVec2::splat(long)))
}

/// Profile of a head and its neck, forward and rotated from the ear, in head lengths.
const PROFILE: [[f64; 2]; 25] = [
    [0.02, 0.64],
    [0.22, 0.61],
    [0.39, 0.50],
    [0.475, 0.34],
    [0.50, 0.17],
    [0.485, 0.07],
    [0.59, -0.11],
    [0.575, -0.15],
    [0.495, -0.175],
    [0.525, -0.245],
    [0.50, -0.30],
    [0.515, -0.36],
    [0.47, -0.41],
    [0.475, -0.50],
    [0.42, -0.57],
    [0.25, -0.55],
    [0.17, -0.64],
    [0.16, -0.86],
    [-0.32, -0.86],
    [-0.30, -0.62],
    [-0.40, -0.36],
    [-0.51, -0.12],
    [-0.52, 0.18],
    [-0.42, 0.43],
    [-0.22, 0.59],
];

/// An ear in the same measure.
const EAR: [[f64; 2]; 9] = [
    [0.04, 0.06],
    [0.03, 0.12],
    [-0.02, 0.15],
    [-0.09, 0.12],
    [-0.11, 0.04],
    [-0.07, -0.04],
    [-0.03, -0.12],
    [0.02, -0.14],
    [0.05, -0.09],
];

fn head_from_the_side(canvas: &mut Canvas, at: Point, ahead: DVec2, long: f64) -> Rect {
    // A profile looks left or right; how far up or down it looks is not drawn.
    let forward = if ahead.x > 0.0 { 1.0 } else { -1.0 };
    let outline: Vec<Point> =
        PROFILE.iter().map(|&[x, up]| at + DVec2::new(x * forward, -up) * long).collect();
    let extent = Rect::bounding(&outline);
    canvas.polygon(outline, palette::PAPER, line(palette::INK, 0.25));
    // The ear is open to the front; the head's middle, where the sound is computed, lies in it.
    let ear: Vec<Point> =
        EAR.iter().map(|&[x, up]| at + DVec2::new(x * forward, -up) * long).collect();
    canvas.polyline(ear, line(palette::INK, 0.22));
    extent.unwrap_or(Rect::around(at, DVec2::splat(long)))
}

/// The mark of a bounce point: a dot where the surface is seen edge on, else a triangle up for
/// the ceiling, down for the floor, a diamond for a wall, a square for anything inside the room.
pub(crate) fn bounce(
    canvas: &mut Canvas,
    view: &View,
    at: DVec3,
    hit: Hit,
    style: SpeakerStyle,
    radius: f64,
) {
    let middle = view.at(at);
    let edge = line(style.colour, 0.25);
    let points: &[[f64; 2]] = match hit {
        Hit::Surface(surface) if view.edge_on(surface) => {
            canvas.circle(
                middle,
                radius * 0.75,
                Some(style.colour),
                Some(line(palette::PAPER, 0.15)),
            );
            return;
        }
        Hit::Surface(Surface::Ceiling) => &[[0.0, -1.15], [1.0, 0.6], [-1.0, 0.6]],
        Hit::Surface(Surface::Floor) => &[[0.0, 1.15], [1.0, -0.6], [-1.0, -0.6]],
        Hit::Surface(_) => &[[0.0, -1.1], [1.1, 0.0], [0.0, 1.1], [-1.1, 0.0]],
        Hit::Inside { .. } => &[[-0.8, -0.8], [0.8, -0.8], [0.8, 0.8], [-0.8, 0.8]],
    };
    let outline = points.iter().map(|&[x, y]| middle + DVec2::new(x, y) * radius).collect();
    canvas.shape(Outline::Polygon(outline), Some(style.badge_fill), Some(edge));
}

/// The mark of several bounces above one another: a ring about a dot.
pub(crate) fn stack(canvas: &mut Canvas, middle: Point, style: SpeakerStyle, radius: f64) {
    let edge = line(style.colour, 0.3);
    canvas.circle(middle, radius * 0.95, Some(palette::PAPER), Some(edge));
    canvas.circle(middle, radius * 0.45, Some(style.colour), None);
}

/// An ellipse by its two half axes.
fn ellipse(middle: Point, a: DVec2, b: DVec2) -> Vec<Point> {
    (0..32)
        .map(|i| DVec2::from_angle(std::f64::consts::TAU * f64::from(i) / 32.0))
        .map(|way| middle + a * way.x + b * way.y)
        .collect()
}
