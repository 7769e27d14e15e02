//! Reflections that mirror each other, left for right, as one row.

use super::numbering::Numbered;
use crate::format::both_sides::both_sides;
use crate::format::time;
use earline_engine::analysis::compare::{change_db, is_equal, mirrored_reflections};
use earline_engine::image_source::Reflection;
use earline_engine::scene::{Scene, SpeakerId, Variant, named_pairs};
use earline_engine::simulate::PairSimulation;
use std::collections::{BTreeMap, BTreeSet};
use std::ptr::from_ref;

/// A reflection, or that of a left speaker with its mirror image of the right one: both come at one time and
/// equally loud within what the model knows.
#[derive(Debug, Clone, Copy)]
pub(crate) struct MirroredRow<'a> {
    /// The only one, or that of the left speaker.
    pub(crate) first: Numbered<'a>,
    /// That of the right speaker.
    pub(crate) mirrored: Option<Numbered<'a>>,
}

impl<'a> MirroredRow<'a> {
    /// Its level over 1 to 8 kHz against the direct sound, decibels.
    pub(crate) fn level_db(&self) -> f64 {
        self.first.reflection.level_db
    }

    /// The only one, or both.
    pub(crate) fn each(&self) -> impl Iterator<Item = Numbered<'a>> {
        [self.first].into_iter().chain(self.mirrored)
    }

    /// One or two.
    pub(crate) fn len(&self) -> usize {
        1 + usize::from(self.mirrored.is_some())
    }

    /// Its numbers: `3`, or `3, 4`.
    pub(crate) fn numbers(&self) -> String {
        match &self.mirrored {
            None => self.first.number.to_string(),
            Some(other) => format!("{}, {}", self.first.number, other.number),
        }
    }

    /// What one text says of each, together.
    pub(crate) fn both(&self, text: impl Fn(&Numbered<'a>) -> String) -> String {
        let first = text(&self.first);
        self.mirrored
            .as_ref()
            .map_or_else(|| first.clone(), |other| both_sides(&first, &text(other)))
    }

    /// Who sounds: a speaker, or `both`, of which pair where there are several.
    pub(crate) fn speaker(&self, scene: &Scene) -> String {
        who(scene, self.first.pair.speaker, self.mirrored.is_some())
    }
}

/// A speaker by its name, or with its partner `both`, of which pair where there are several.
pub(crate) fn who(scene: &Scene, speaker: SpeakerId, with_partner: bool) -> String {
    let speaker = &scene[speaker];
    match &speaker.pair {
        Some((pair, _)) if with_partner && 1 < named_pairs(scene).len() => {
            format!("both of {pair}")
        }
        _ if with_partner => "both".to_owned(),
        _ => speaker.name.clone(),
    }
}

/// The reflections at one seat in the order of their numbers, each with its mirror image.
pub(crate) fn mirrored_rows<'a>(
    scene: &Scene,
    state: &Variant<'_>,
    numbered: &[Numbered<'a>],
) -> Vec<MirroredRow<'a>> {
    let by_reflection: BTreeMap<*const Reflection, Numbered<'a>> =
        numbered.iter().map(|n| (from_ref(n.reflection), *n)).collect();
    let mut mirrored: BTreeMap<usize, Numbered<'a>> = BTreeMap::new();
    for sides in sides(scene, numbered) {
        for indices in mirrored_reflections(scene, state, sides) {
            let of = |side: usize| {
                by_reflection.get(&from_ref(&sides[side].reflections[indices[side]])).copied()
            };
            if let (Some(left), Some(right)) = (of(0), of(1))
                && is_alike(&left, &right)
            {
                mirrored.insert(left.number, right);
            }
        }
    }
    let second: BTreeSet<usize> = mirrored.values().map(|n| n.number).collect();
    numbered
        .iter()
        .filter(|n| !second.contains(&n.number))
        .map(|n| MirroredRow { first: *n, mirrored: mirrored.get(&n.number).copied() })
        .collect()
}

/// Left and right speaker of every complete pair that is among these.
fn sides<'a>(scene: &Scene, numbered: &[Numbered<'a>]) -> Vec<[&'a PairSimulation; 2]> {
    let of = |id| numbered.iter().map(|n| n.pair).find(|pair| pair.speaker == id);
    let both = |[left, right]: [_; 2]| Some([of(left)?, of(right)?]);
    named_pairs(scene).into_iter().filter_map(|(_, pair)| both(pair)).collect()
}

/// Whether they come at one time as it is shown, and equally loud in every band.
fn is_alike(left: &Numbered<'_>, right: &Numbered<'_>) -> bool {
    let [a, b] = [left, right].map(|n| n.reflection);
    let bands = a.band_level_db.iter().zip(&b.band_level_db);
    time::delay(a.delay_s) == time::delay(b.delay_s)
        && is_equal(change_db(a.level_db, b.level_db))
        && bands.clone().all(|(&a, &b)| is_equal(change_db(a, b)))
}
