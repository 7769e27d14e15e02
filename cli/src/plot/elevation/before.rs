//! Screens and furniture that hang or stand before a surface.

use crate::plot::data::input::{Face, Input, Lettered};
use crate::plot::data::outlines;
use earline_engine::scene::{Furniture, Room, Screen, Surface};
use glam::DVec3;

/// Furniture this near to a wall is drawn before it, metres.
const NEAR_M: f64 = 0.35;

/// Screens that hang in a surface's half of the room and face it more than not, or stand before
/// one of its zones.
pub(crate) fn screens_before<'a>(
    input: &'a Input<'a>,
    face: &Face,
) -> Vec<&'a Lettered<'a, Screen>> {
    let hides =
        |screen: &Screen| face.zones.iter().any(|zone| zone.behind.as_ref() == Some(&screen.name));
    let drawn =
        |screen: &&Lettered<'_, Screen>| hides(screen) || hangs_before(screen, face.on, input.room);
    input.screens.iter().filter(drawn).collect()
}

fn hangs_before(screen: &Screen, on: Surface, room: &Room) -> bool {
    let corners = outlines::screen(screen);
    let [a, b, _, d] = corners;
    let facing = (b - a).cross(d - a).normalize_or_zero()[on.axis()].abs();
    let middle = corners.iter().sum::<DVec3>() / 4.0;
    facing > 0.7 && height_m(middle, on, room) < room.size()[on.axis()] / 2.0
}

/// Whether a piece stands on the floor or near a wall.
pub(crate) fn stands_at(piece: &Furniture, on: Surface, room: &Room) -> bool {
    let top = DVec3::Z * piece.size.z;
    let base = outlines::furniture_base(piece);
    let all = base.iter().flat_map(|&corner| [corner, corner + top]);
    let nearest = all.map(|corner| height_m(corner, on, room)).fold(f64::INFINITY, f64::min);
    nearest < if on == Surface::Floor { 0.01 } else { NEAR_M }
}

fn height_m(point: DVec3, on: Surface, room: &Room) -> f64 {
    let from = if on.is_far() { room.size()[on.axis()] } else { 0.0 };
    (point[on.axis()] - from).abs()
}
