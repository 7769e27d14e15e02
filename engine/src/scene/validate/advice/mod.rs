//! What a careful colleague would mention: warnings, each a starting point and none a law.

mod cabinet_in_wall;
mod inside_furniture;
mod pair_mirror;
mod seat;
mod shared_place;
mod unused_set;

use super::setting::Setting;
use crate::scene::model::{Aim, Listener, Scene};

/// Looks over a scene without errors.
pub(super) fn give(scene: &Scene, setting: &Setting<'_>) {
    seat::off_centre(scene, setting);
    seat::ear_height(scene, setting);
    seat::too_close(scene, setting);
    pair_mirror::check(scene, setting);
    cabinet_in_wall::check(scene, setting);
    inside_furniture::check(scene, setting);
    shared_place::check(scene, setting);
    unused_set::check(scene, setting);
}

/// The listener a speaker works for: the one it is aimed at, or else the scene's first.
fn listener_of<'a>(scene: &'a Scene, aim: &Aim) -> Option<&'a Listener> {
    match aim {
        Aim::Listener(index) => scene.listeners().get(*index),
        Aim::Point(_) | Aim::Straight => scene.listeners().first(),
    }
}
