//! Speakers well above every ear they play to.

use crate::medium::directivity::Directivity;
use crate::scene::listener::Listener;
use crate::scene::model::{Aim, Scene, Speaker, SpeakerKind};
use crate::scene::problem::Problem;
use crate::scene::validate::TAPE_SLACK_M;
use crate::scene::validate::context::RuleContext;

/// Higher than this above the ears a speaker beams over them unless it is tilted, in metres: our choice.
const WELL_ABOVE_M: f64 = 0.3;

/// Whether a speaker so far above the ears is well above them.
pub(super) fn is_well_above(above_m: f64) -> bool {
    WELL_ABOVE_M + TAPE_SLACK_M < above_m
}

pub(super) fn check(scene: &Scene, context: &RuleContext<'_>) {
    for (speaker, raw) in scene.speakers().iter().zip(&context.raw.speakers) {
        let (Some(listener), Some(at)) = (plays_to(scene, &speaker.aim), &raw.at) else {
            continue;
        };
        if speaker.kind == SpeakerKind::Subwoofer {
            continue;
        }
        let above_m = speaker.at.z - listener.at.z;
        if !is_well_above(above_m) {
            continue;
        }
        let message = format!(
            "the speaker `{}` is {} above the ears of `{}`",
            speaker.name,
            context.show(above_m),
            listener.name
        );
        context.add(
            Problem::warning("scene::above-ears", at.value[2].span.clone(), message)
                .label(format!("the ears are {} above the floor", context.show(listener.at.z)))
                .help(remedy(speaker, listener)),
        );
    }
}

/// The listener a speaker is aimed at; of one aimed at none the one with the highest ears.
fn plays_to<'a>(scene: &'a Scene, aim: &Aim) -> Option<&'a Listener> {
    match aim {
        Aim::Listener(id) => Some(&scene[*id]),
        Aim::Point(_) | Aim::Straight => {
            scene.listeners().iter().max_by(|a, b| a.at.z.total_cmp(&b.at.z))
        }
    }
}

fn remedy(speaker: &Speaker, listener: &Listener) -> String {
    let to_ears = listener.at - speaker.at;
    let down_deg = -to_ears.normalize_or_zero().z.asin().to_degrees();
    match (&speaker.directivity, &speaker.aim) {
        (Directivity::Omni, _) => {
            "check its height, the third number; ear height is the usual start".to_owned()
        }
        (_, Aim::Listener(_)) => format!(
            "its axis is taken to point down at them by {down_deg:.0}°: tilt the cabinet as much, or bring it down to their height"
        ),
        _ => format!(
            "bring it down to the height of the ears, or tilt it down by {down_deg:.0}° and say so: aim = the listener's name"
        ),
    }
}
