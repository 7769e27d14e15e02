//! A cabinet that would reach into a wall.

use crate::medium::directivity::Cabinet;
use crate::scene::model::{Scene, Speaker};
use crate::scene::problem::Problem;
use crate::scene::room::{Room, Surface};
use crate::scene::validate::context::RuleContext;
use crate::scene::validate::inside::{farthest_out, surface_words};
use crate::scene::validate::solid::GUESSWORK_M;
use glam::DVec3;

pub(super) fn check(scene: &Scene, context: &RuleContext<'_>) {
    for (speaker, raw) in scene.speakers().iter().zip(&context.raw.speakers) {
        let (Some(cabinet), None, Some(at)) = (speaker.cabinet(), speaker.solid, &raw.at) else {
            continue;
        };
        let middles = farthest_out(scene.room(), &back_and_sides(speaker, cabinet));
        let Some((axis, far, beyond)) = middles.or_else(|| corner_out(scene.room(), speaker))
        else {
            continue;
        };
        let Some(&surface) = Surface::ALL.get(axis * 2 + usize::from(far)) else { continue };
        let message = format!(
            "the cabinet of `{}` would reach {} into the {}",
            speaker.name,
            context.show(beyond),
            surface_words(surface)
        );
        context.add(
            Problem::warning("scene::cabinet-in-wall", at.value[axis].span.clone(), message)
                .label("the reference point, in the middle of the cabinet's front")
                .help("move the speaker out, or check the cabinet: [height, width, depth]"),
        );
    }
}

/// The corner that is farthest out. Where in the front the reference point sits is not known exactly, so
/// it has to be farther out than such guesswork puts it.
fn corner_out(room: &Room, speaker: &Speaker) -> Option<(usize, bool, f64)> {
    let corners = speaker.cabinet_box()?.corners();
    farthest_out(room, &corners).filter(|&(_, _, beyond)| GUESSWORK_M < beyond)
}

/// The middles of the cabinet's back and of its two side edges at the front.
fn back_and_sides(speaker: &Speaker, cabinet: &Cabinet) -> [DVec3; 3] {
    let sideways = DVec3::Z.cross(speaker.axis).normalize_or(DVec3::Y) * (cabinet.width_m / 2.0);
    [speaker.at - speaker.axis * cabinet.depth_m, speaker.at + sideways, speaker.at - sideways]
}
