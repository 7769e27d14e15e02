//! Pairs of speakers: a left and a right one of the same pair name.

use super::model::{Scene, Side};

/// Indices of a pair's left and right speaker in [`Scene::speakers`].
pub type PairIndices = (usize, usize);

/// All complete pairs, in the order of their left speakers.
pub fn speaker_pairs(scene: &Scene) -> Vec<PairIndices> {
    let on_side = |wanted: Side| {
        scene.speakers().iter().enumerate().filter_map(move |(i, s)| {
            s.pair.as_ref().filter(|(_, side)| *side == wanted).map(|(name, _)| (i, name))
        })
    };
    on_side(Side::Left)
        .filter_map(|(left, name)| {
            on_side(Side::Right).find(|(_, other)| *other == name).map(|(right, _)| (left, right))
        })
        .collect()
}

/// All complete pairs by name, with the indices of their left and right speakers, in the order of the
/// left ones.
pub fn named_pairs(scene: &Scene) -> Vec<(&str, [usize; 2])> {
    let named = |(left, right): PairIndices| {
        let (name, _) = scene.speakers()[left].pair.as_ref()?;
        Some((name.as_str(), [left, right]))
    };
    speaker_pairs(scene).into_iter().filter_map(named).collect()
}

/// The name of a pair.
pub fn pair_name(scene: &Scene, (left, _): PairIndices) -> String {
    scene.speakers()[left].pair.as_ref().map_or_else(String::new, |(name, _)| name.clone())
}
