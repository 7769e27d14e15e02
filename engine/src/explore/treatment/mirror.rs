//! Whether a layout is its own mirror image, left against right.

use super::plan::TreatmentPlan;
use crate::scene::{ListenerId, Scene, SpeakerId};
use glam::DVec3;

/// A layout counts as its own mirror image when nothing is farther off than this, metres; the same
/// as the scene's warnings on pairs and seats.
const OFF_MIRROR_M: f64 = 0.02;

/// Whether every chosen speaker has its mirror image among the chosen ones, in the plane half-way
/// between left and right wall, and every chosen listener is in that plane. Surfaces and what hangs
/// on them may differ.
pub fn is_mirrored(scene: &Scene, plan: &TreatmentPlan) -> bool {
    let width_m = scene.room().width_m;
    let at = |&id: &SpeakerId| scene.speaker(id).map(|speaker| speaker.at);
    let speakers: Vec<DVec3> = plan.speakers.iter().filter_map(at).collect();
    let has_twin = |place: &DVec3| {
        let twin = DVec3::new(place.x, width_m - place.y, place.z);
        speakers.iter().any(|other| other.distance(twin) <= OFF_MIRROR_M)
    };
    let centred = |&id: &ListenerId| {
        let listener = scene.listener(id);
        listener.is_none_or(|l| (l.at.y - width_m / 2.0).abs() <= OFF_MIRROR_M)
    };
    speakers.iter().all(has_twin) && plan.listeners.iter().all(centred)
}
