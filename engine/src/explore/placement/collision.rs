//! Collisions of people and cabinets of a layout with the room and everything in it.

use super::plan::PlacementPlan;
use crate::metrics::hearing::HEAD_RADIUS_M;
use crate::scene::{KeepOut, Scene, SpeakerId, UprightBox};
use glam::DVec3;

/// Furniture lower than this may be sat on, metres: a sofa, a chair.
const SEAT_TOP_M: f64 = 0.55;
/// Less than this no tape tells, metres.
const SLACK_M: f64 = 0.001;

/// The first collision, in words.
pub(super) fn first_collision(scene: &Scene, plan: &PlacementPlan<'_>) -> Option<String> {
    let cabinets = plan.pair.into_iter().filter_map(|id| {
        let speaker = scene.speaker(id)?;
        Some((id, speaker.name.as_str(), speaker.cabinet_box()?))
    });
    let cabinets: Vec<MovingCabinet<'_>> = cabinets.collect();
    by_walls(scene, plan, &cabinets)
        .or_else(|| by_furniture(scene, plan, &cabinets))
        .or_else(|| by_keep_outs(scene, plan, &cabinets))
        .or_else(|| by_speakers(scene, plan, &cabinets))
}

/// A speaker that moves: its id, its name, and its cabinet where one is known.
type MovingCabinet<'a> = (SpeakerId, &'a str, UprightBox);

/// A cabinet is in the room with every corner, a head with its width.
fn by_walls(
    scene: &Scene,
    plan: &PlacementPlan<'_>,
    cabinets: &[MovingCabinet<'_>],
) -> Option<String> {
    let size = scene.room().size();
    let within = |at: DVec3, margin_m: f64| {
        margin_m <= at.min_element() && margin_m <= (size - at).min_element()
    };
    for (_, name, cabinet) in cabinets {
        if cabinet.corners().into_iter().any(|corner| !within(corner, -SLACK_M)) {
            return Some(format!(
                "the cabinet of `{name}` would reach into a wall, floor or ceiling"
            ));
        }
    }
    for &id in &plan.listeners {
        let listener = scene.listener(id)?;
        if !within(listener.at, HEAD_RADIUS_M) {
            return Some(format!("the head of `{}` would touch a wall", listener.name));
        }
    }
    None
}

fn by_furniture(
    scene: &Scene,
    plan: &PlacementPlan<'_>,
    cabinets: &[MovingCabinet<'_>],
) -> Option<String> {
    for piece in scene.variant(plan.variant)?.furniture {
        let block = piece.upright_box();
        let is_high = SEAT_TOP_M < block.middle.z + block.half.z;
        for &id in plan.listeners.iter().filter(|_| is_high) {
            let listener = scene.listener(id)?;
            // Someone takes the room from the floor up to the head, wherever the piece has its top.
            if 0.0 < block.depth_m(listener.at.with_z(block.middle.z)) {
                return Some(format!("`{}` would sit in `{}`", listener.name, piece.name));
            }
        }
        for (_, name, cabinet) in cabinets {
            if SLACK_M < cabinet.overlap_m(&block) {
                return Some(format!("`{name}` would stand in `{}`", piece.name));
            }
        }
    }
    None
}

fn by_keep_outs(
    scene: &Scene,
    plan: &PlacementPlan<'_>,
    cabinets: &[MovingCabinet<'_>],
) -> Option<String> {
    for keep in scene.keep_outs() {
        for &id in &plan.listeners {
            let listener = scene.listener(id)?;
            if keep.holds([listener.at.x, listener.at.y]) {
                return Some(format!("`{}` would sit in `{}`", listener.name, keep.name));
            }
        }
        let column = column(keep, scene.room().height_m);
        for id in plan.pair {
            let speaker = scene.speaker(id)?;
            let cabinet = cabinets.iter().find(|(known, ..)| *known == id);
            // Where nothing is known of the cabinet, its reference point.
            let stands_in = cabinet.map_or_else(
                || keep.holds([speaker.at.x, speaker.at.y]),
                |(_, _, cabinet)| SLACK_M < cabinet.overlap_m(&column),
            );
            if stands_in {
                return Some(format!("`{}` would stand in `{}`", speaker.name, keep.name));
            }
        }
    }
    None
}

/// A keep-out goes from the floor to the ceiling.
fn column(keep: &KeepOut, height_m: f64) -> UprightBox {
    let half = DVec3::new(keep.size_m[0], keep.size_m[1], height_m) / 2.0;
    let corner = DVec3::new(keep.corner_m[0], keep.corner_m[1], 0.0);
    UprightBox { middle: corner + half, half, axes: [DVec3::X, DVec3::Y, DVec3::Z] }
}

/// Cabinets against each other and those that stay, and against heads.
fn by_speakers(
    scene: &Scene,
    plan: &PlacementPlan<'_>,
    cabinets: &[MovingCabinet<'_>],
) -> Option<String> {
    for (place, (id, name, cabinet)) in cabinets.iter().enumerate() {
        let is_checked =
            |other: SpeakerId| cabinets[..=place].iter().any(|(known, ..)| *known == other);
        for other in scene.speaker_ids() {
            let speaker = &scene[other];
            let Some(theirs) = speaker.cabinet_box().filter(|_| !is_checked(other)) else {
                continue;
            };
            if other != *id && SLACK_M < cabinet.overlap_m(&theirs) {
                return Some(format!("`{name}` would stand in `{}`", speaker.name));
            }
        }
    }
    for speaker in scene.speakers() {
        let Some(cabinet) = speaker.cabinet_box() else { continue };
        for &id in &plan.listeners {
            let listener = scene.listener(id)?;
            if 0.0 < cabinet.depth_m(listener.at) {
                return Some(format!("`{}` would sit in `{}`", listener.name, speaker.name));
            }
        }
    }
    None
}
