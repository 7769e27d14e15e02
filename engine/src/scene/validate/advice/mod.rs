//! Warnings: advice that a careful colleague would give.

mod above_ears;
mod cabinet_in_furniture;
mod cabinet_in_wall;
mod inside_furniture;
mod pair_mirror;
mod room_size;
mod seat;
mod signal_chains;
mod unused_set;

use super::context::RuleContext;
use crate::scene::listener::Listener;
use crate::scene::model::{Aim, Scene};

/// Looks over a scene without errors.
pub(super) fn give(scene: &Scene, context: &RuleContext<'_>) {
    room_size::check(scene, context);
    seat::off_centre(scene, context);
    seat::ear_height(scene, context);
    above_ears::check(scene, context);
    seat::too_close(scene, context);
    pair_mirror::check(scene, context);
    signal_chains::pair_differs(scene, context);
    signal_chains::nothing_below(scene, context);
    cabinet_in_wall::check(scene, context);
    cabinet_in_furniture::check(scene, context);
    inside_furniture::check(scene, context);
    unused_set::check(scene, context);
}

/// The listener a speaker works for: the one it is aimed at, or else the scene's first.
fn listener_of<'a>(scene: &'a Scene, aim: &Aim) -> Option<&'a Listener> {
    match aim {
        Aim::Listener(id) => Some(&scene[*id]),
        Aim::Point(_) | Aim::Straight => scene.listeners().first(),
    }
}
