//! The two speakers of a pair as mirror images about the room's centre line.

use crate::scene::model::{Scene, Side, Speaker};
use crate::scene::problem::Problem;
use crate::scene::validate::context::RuleContext;

/// Differences above this are worth a word, in metres.
const OFF_M: f64 = 0.02;

pub(super) fn check(scene: &Scene, context: &RuleContext<'_>) {
    let speakers = scene.speakers();
    for (right, raw) in speakers.iter().zip(&context.raw.speakers) {
        let Some((pair, Side::Right)) = &right.pair else { continue };
        let left = speakers.iter().find(|other| {
            other.pair.as_ref().is_some_and(|(name, side)| name == pair && *side == Side::Left)
        });
        let (Some(left), Some(at)) = (left, &raw.at) else { continue };
        let Some((axis, differs)) = difference(left, right, scene.room().width_m) else { continue };
        let differ = [
            "in distance from the front wall",
            "in distance from their own side walls",
            "in height",
        ];
        let left_is = ["from the front wall", "from its own side wall", "above the floor"];
        let message = format!(
            "the pair `{pair}` is not symmetric: its speakers differ by {} {}",
            context.show(differs),
            differ[axis]
        );
        context.add(
            Problem::warning("scene::pair-not-mirrored", at.value[axis].span.clone(), message)
                .label(format!("the left one is {} {}", context.show(left_measure(left, axis)), left_is[axis]))
                .help("the picture pulls to one side when the two differ; fine if the room leaves no choice"),
        );
    }
}

/// The axis with the largest difference and its size.
fn difference(left: &Speaker, right: &Speaker, width_m: f64) -> Option<(usize, f64)> {
    let off = [left.at.x - right.at.x, left.at.y - (width_m - right.at.y), left.at.z - right.at.z]
        .map(f64::abs);
    let mut worst = None;
    for (axis, off) in off.into_iter().enumerate() {
        if OFF_M < off && worst.is_none_or(|(_, most)| most < off) {
            worst = Some((axis, off));
        }
    }
    worst
}

fn left_measure(left: &Speaker, axis: usize) -> f64 {
    left.at[axis]
}
