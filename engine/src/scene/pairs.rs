//! Pairs of speakers: a left and a right one of the same pair name.

use super::ids::SpeakerId;
use super::model::{Scene, Side};

/// A pair's left and right speaker.
pub type PairIds = (SpeakerId, SpeakerId);

/// All complete pairs, in the order of their left speakers.
pub fn speaker_pairs(scene: &Scene) -> Vec<PairIds> {
    let on_side = |wanted: Side| {
        scene.speaker_ids().filter_map(move |id| {
            scene[id].pair.as_ref().filter(|(_, side)| *side == wanted).map(|(name, _)| (id, name))
        })
    };
    on_side(Side::Left)
        .filter_map(|(left, name)| {
            on_side(Side::Right).find(|(_, other)| *other == name).map(|(right, _)| (left, right))
        })
        .collect()
}

/// All complete pairs by name, with their left and right speakers, in the order of the left ones.
pub fn named_pairs(scene: &Scene) -> Vec<(&str, [SpeakerId; 2])> {
    let named = |(left, right): PairIds| {
        let (name, _) = scene[left].pair.as_ref()?;
        Some((name.as_str(), [left, right]))
    };
    speaker_pairs(scene).into_iter().filter_map(named).collect()
}

/// The name of a pair.
pub fn pair_name(scene: &Scene, (left, _): PairIds) -> String {
    scene[left].pair.as_ref().map_or_else(String::new, |(name, _)| name.clone())
}
