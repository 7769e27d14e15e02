//! Asymmetry of a pair at a seat: left speaker against right, reflection by reflection.

use super::path_key::{PathKey, path_keys, path_keys_mapped};
use super::{QUIET_DB, change_db};
use crate::analysis::room_summary;
use crate::geometry::{BoxSide, FaceId};
use crate::image_source::Reflection;
use crate::metrics::criteria::is_within;
use crate::scene::{Scene, SpeakerId, Surface, Variant, pair_name, speaker_pairs};
use crate::simulate::PairSimulation;
use std::collections::BTreeMap;

/// Difference between the two speakers of a pair at one seat in the first [`EARLY_S`]. Reflections under
/// [`QUIET_DB`] on both sides are left out.
#[derive(Debug, Clone, PartialEq)]
pub struct PairAsymmetry {
    /// The pair's name.
    pub name: String,
    /// The left speaker.
    pub left: SpeakerId,
    /// The right speaker.
    pub right: SpeakerId,
    /// Number of reflections of the left speaker with a mirror image from the right one.
    pub partners: usize,
    /// The partners that differ most over 1–8 kHz; `None` without partners.
    pub largest: Option<MirrorReflections>,
    /// Numbers of reflections of the left and of the right speaker without a mirror image.
    pub alone: [usize; 2],
}

/// Two reflections that are each other's mirror image, left for right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MirrorReflections {
    /// Index among the left speaker's reflections.
    pub left: usize,
    /// Index among the right speaker's reflections.
    pub right: usize,
    /// Level of the left one relative to the right one over 1–8 kHz, decibels.
    pub left_louder_db: f64,
}

/// Sides are compared over this long after the direct sound, seconds: the longest window of a
/// published early-reflection limit known here ([`crate::metrics::criteria::EARLY_LIMITS`]).
pub const EARLY_S: f64 = 0.020;

/// The differences of every pair of speakers that is among the traces of one seat, in the order of
/// the left speakers.
pub fn pair_asymmetries(
    scene: &Scene,
    variant: &Variant<'_>,
    pairs: &[&PairSimulation],
) -> Vec<PairAsymmetry> {
    let of = |speaker: SpeakerId| pairs.iter().copied().find(|pair| pair.speaker == speaker);
    let mirror = MirrorMap::new(scene, variant);
    speaker_pairs(scene)
        .into_iter()
        .filter_map(|speakers| {
            let (left, right) = (of(speakers.0)?, of(speakers.1)?);
            Some(difference(pair_name(scene, speakers), &mirror, left, right))
        })
        .collect()
}

/// Reflections of the left and of the right speaker of a pair at one seat that are each other's mirror image:
/// indices into the lists of both, in the order of the left one.
pub fn mirrored_reflections(
    scene: &Scene,
    variant: &Variant<'_>,
    [left, right]: [&PairSimulation; 2],
) -> Vec<[usize; 2]> {
    MirrorMap::new(scene, variant).partners(left, right)
}

fn difference(
    name: String,
    mirror: &MirrorMap,
    left: &PairSimulation,
    right: &PairSimulation,
) -> PairAsymmetry {
    let counts = |r: &Reflection| is_within(r.delay_s, EARLY_S) && QUIET_DB <= r.level_db;
    let mut alone = [left, right].map(|pair| pair.reflections.iter().filter(|r| counts(r)).count());
    let mut all: Vec<MirrorReflections> = Vec::new();
    for [index, partner] in mirror.partners(left, right) {
        let (a, b) = (&left.reflections[index], &right.reflections[partner]);
        for (alone, r) in alone.iter_mut().zip([a, b]) {
            *alone -= usize::from(counts(r));
        }
        if counts(a) || counts(b) {
            all.push(MirrorReflections {
                left: index,
                right: partner,
                left_louder_db: change_db(b.level_db, a.level_db),
            });
        }
    }
    let larger = |a: MirrorReflections, b: MirrorReflections| {
        if b.left_louder_db.abs() > a.left_louder_db.abs() { b } else { a }
    };
    PairAsymmetry {
        name,
        left: left.speaker,
        right: right.speaker,
        partners: all.len(),
        largest: all.into_iter().reduce(larger),
        alone,
    }
}

/// The room's mirror image in its middle plane between left and right.
struct MirrorMap {
    /// For each screen its twin, and whether that faces the other way; itself where it has none.
    screens: Vec<(usize, bool)>,
    /// For each piece of furniture its twin, or itself.
    furniture: Vec<usize>,
    /// For each speaker the one whose solid cabinet is its cabinet's twin, or itself.
    cabinets: Vec<SpeakerId>,
}

impl MirrorMap {
    fn new(scene: &Scene, variant: &Variant<'_>) -> Self {
        let width_m = scene.room().width_m;
        let is_in = |index: usize| {
            variant.screens.iter().any(|&s| scene.screens().get(index).is_some_and(|t| t == s))
        };
        let screens = scene.screens().iter().enumerate().map(|(index, screen)| {
            let twins = scene.screens().iter().enumerate();
            let twin = twins
                .filter(|(other, _)| is_in(*other))
                .find(|(_, other)| room_summary::are_mirror_screens(screen, other, width_m));
            twin.map_or((index, false), |(other, twin)| {
                (other, room_summary::mirrored(screen.facing, 0.0).dot(twin.facing) < 0.0)
            })
        });
        let furniture = scene.furniture().iter().enumerate().map(|(index, piece)| {
            let is_twin = |other| room_summary::are_mirror_furniture(piece, other, width_m);
            scene.furniture().iter().position(is_twin).unwrap_or(index)
        });
        let cabinets = scene.speaker_ids().map(|id| {
            let is_twin = |other: &SpeakerId| {
                room_summary::are_mirror_cabinets(&scene[id], &scene[*other], width_m)
            };
            scene.speaker_ids().find(is_twin).unwrap_or(id)
        });
        Self {
            screens: screens.collect(),
            furniture: furniture.collect(),
            cabinets: cabinets.collect(),
        }
    }

    /// Indices of reflections that are each other's mirror image, in the order of the left ones.
    fn partners(&self, left: &PairSimulation, right: &PairSimulation) -> Vec<[usize; 2]> {
        let mirrored = path_keys_mapped(&left.reflections, |face| self.face(face));
        let right_keys = path_keys(&right.reflections);
        let mut waiting: BTreeMap<&PathKey, usize> = right_keys.iter().zip(0..).collect();
        let partner = |(index, key)| Some([index, waiting.remove(key)?]);
        mirrored.iter().enumerate().filter_map(partner).collect()
    }

    fn face(&self, face: FaceId) -> FaceId {
        match face {
            FaceId::Surface(Surface::Left) => FaceId::Surface(Surface::Right),
            FaceId::Surface(Surface::Right) => FaceId::Surface(Surface::Left),
            FaceId::Surface(_) => face,
            FaceId::Screen { index, rear } => {
                let (index, turned) = self.screens.get(index).copied().unwrap_or((index, false));
                FaceId::Screen { index, rear: rear != turned }
            }
            FaceId::Furniture { index, side } => {
                let index = self.furniture.get(index).copied().unwrap_or(index);
                FaceId::Furniture { index, side: other_side(side) }
            }
            FaceId::Cabinet { speaker, side } => {
                let speaker = self.cabinets.get(speaker.index()).copied().unwrap_or(speaker);
                FaceId::Cabinet { speaker, side: other_side(side) }
            }
        }
    }
}

fn other_side(side: BoxSide) -> BoxSide {
    match side {
        BoxSide::Left => BoxSide::Right,
        BoxSide::Right => BoxSide::Left,
        other => other,
    }
}
