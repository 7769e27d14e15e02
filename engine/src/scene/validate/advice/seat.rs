//! The seat and the speakers aimed at it.

use super::above_ears::is_well_above;
use super::listener_of;
use crate::scene::model::{Aim, Scene, SpeakerKind};
use crate::scene::problem::Problem;
use crate::scene::validate::context::RuleContext;

/// A seat this far from the middle is worth a word, in metres.
const OFF_CENTRE_M: f64 = 0.02;

/// A reference point this far above or below the ears is worth a word, in metres.
const EAR_HEIGHT_M: f64 = 0.03;

/// Nearer than this no speaker model holds, in metres.
const TOO_CLOSE_M: f64 = 0.3;

/// The seat that speakers are aimed at, against the room's centre line. Other listeners sit where
/// they like.
pub(super) fn off_centre(scene: &Scene, context: &RuleContext<'_>) {
    let middle = scene.room().width_m / 2.0;
    for (id, raw) in scene.listener_ids().zip(&context.raw.listeners) {
        let listener = &scene[id];
        let paired = |speaker: &&crate::scene::model::Speaker| {
            speaker.pair.is_some() && speaker.aim == Aim::Listener(id)
        };
        let off = listener.at.y - middle;
        let Some(at) = &raw.at else { continue };
        if off.abs() <= OFF_CENTRE_M || scene.speakers().iter().find(paired).is_none() {
            continue;
        }
        let way = if off < 0.0 { "left" } else { "right" };
        let message = format!(
            "the seat `{}` is {} {way} of the room's centre line",
            listener.name,
            context.show(off.abs())
        );
        context.add(
            Problem::warning("scene::off-centre", at.value[1].span.clone(), message)
                .label(format!("the middle is {} from the left wall", context.show(middle)))
                .help("left and right then hear different side walls; if the room allows, try the middle first"),
        );
    }
}

/// Each speaker's reference point against the ears it is aimed at.
pub(super) fn ear_height(scene: &Scene, context: &RuleContext<'_>) {
    for (speaker, raw) in scene.speakers().iter().zip(&context.raw.speakers) {
        let (Aim::Listener(_), Some(listener), Some(at)) =
            (&speaker.aim, listener_of(scene, &speaker.aim), &raw.at)
        else {
            continue;
        };
        if speaker.kind == SpeakerKind::Subwoofer {
            continue;
        }
        let above = speaker.at.z - listener.at.z;
        // Well above has words of its own.
        if above.abs() <= EAR_HEIGHT_M || is_well_above(above) {
            continue;
        }
        let way = if above < 0.0 { "below" } else { "above" };
        let message = format!(
            "the speaker `{}` is {} {way} the ears of `{}`",
            speaker.name,
            context.show(above.abs()),
            listener.name
        );
        context.add(
            Problem::warning("scene::ear-height", at.value[2].span.clone(), message)
                .label(format!("the ears are {} above the floor", context.show(listener.at.z)))
                .help("ear height is the usual start; fine if the cabinet is tilted on purpose"),
        );
    }
}

/// A speaker right at a listener's head.
pub(super) fn too_close(scene: &Scene, context: &RuleContext<'_>) {
    for (speaker, raw) in scene.speakers().iter().zip(&context.raw.speakers) {
        for listener in scene.listeners() {
            let distance = speaker.at.distance(listener.at);
            let Some(at) = raw.at.as_ref().filter(|_| distance < TOO_CLOSE_M) else { continue };
            let message = format!(
                "the speaker `{}` is only {} from the head of `{}`",
                speaker.name,
                context.show(distance),
                listener.name
            );
            context.add(
                Problem::warning("scene::too-close", at.span.clone(), message)
                    .label("very close")
                    .help("this near, a speaker is no single point any more and levels are rough; check the coordinates"),
            );
        }
    }
}
