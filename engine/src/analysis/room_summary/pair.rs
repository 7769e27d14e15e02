//! Pairs of speakers: base, angle at the seat, match of left and right.

use crate::scene::{Scene, Side};
use glam::DVec3;

/// A pair of speakers as it stands in the room.
#[derive(Debug, Clone, PartialEq)]
pub struct PairSymmetry {
    /// The pair's name.
    pub name: String,
    /// Index of the left speaker in the scene.
    pub left: usize,
    /// Index of the right speaker in the scene.
    pub right: usize,
    /// Distance between the two reference points, metres.
    pub base_m: f64,
    /// How far the right speaker stands from the left one's mirror image in the room's middle
    /// plane, metres.
    pub off_mirror_m: f64,
}

/// A pair of speakers as one seat has it.
#[derive(Debug, Clone, PartialEq)]
pub struct PairGeometry {
    /// The pair's name.
    pub name: String,
    /// Index of the left speaker in the scene.
    pub left: usize,
    /// Index of the right speaker in the scene.
    pub right: usize,
    /// Angle between the two as seen from the seat, degrees.
    pub base_angle_deg: f64,
    /// How much farther the left speaker is than the right one, metres.
    pub left_farther_m: f64,
    /// How much later the left speaker's sound comes than the right one's, seconds.
    pub left_later_s: f64,
    /// How far the seat is from the plane through the middle of the base that faces along it,
    /// metres; positive toward the right speaker.
    pub off_axis_m: f64,
}

/// A pair's two speakers, by index.
pub(crate) type PairIndices = (usize, usize);

/// All complete pairs, in the order of their left speakers.
pub(crate) fn pairs(scene: &Scene) -> Vec<PairIndices> {
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
    pairs(scene).into_iter().filter_map(named).collect()
}

/// The name of a pair.
pub(crate) fn name(scene: &Scene, (left, _): PairIndices) -> String {
    scene.speakers()[left].pair.as_ref().map_or_else(String::new, |(name, _)| name.clone())
}

impl PairSymmetry {
    pub(super) fn of(scene: &Scene, pair: PairIndices) -> Self {
        let [left, right] = positions(scene, pair);
        Self {
            name: name(scene, pair),
            left: pair.0,
            right: pair.1,
            base_m: left.distance(right),
            off_mirror_m: off_mirror_m(left, right, scene.room().width_m),
        }
    }
}

impl PairGeometry {
    pub(super) fn of(scene: &Scene, pair: PairIndices, seat: DVec3) -> Self {
        let [left, right] = positions(scene, pair);
        let farther = seat.distance(left) - seat.distance(right);
        Self {
            name: name(scene, pair),
            left: pair.0,
            right: pair.1,
            base_angle_deg: (left - seat).angle_between(right - seat).to_degrees(),
            left_farther_m: farther,
            left_later_s: farther / scene.air().speed_of_sound_m_s(),
            off_axis_m: (seat - left.midpoint(right)).dot((right - left).normalize_or_zero()),
        }
    }
}

fn positions(scene: &Scene, (left, right): PairIndices) -> [DVec3; 2] {
    [scene.speakers()[left].at, scene.speakers()[right].at]
}

fn off_mirror_m(left: DVec3, right: DVec3, width_m: f64) -> f64 {
    DVec3::new(left.x, width_m - left.y, left.z).distance(right)
}
