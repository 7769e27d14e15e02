//! Pairs of speakers: base, angle at the seat, match of left and right.

use crate::scene::{PairIds, Scene, SpeakerId, pair_name};
use glam::DVec3;

/// A pair of speakers as it stands in the room.
#[derive(Debug, Clone, PartialEq)]
pub struct PairSymmetry {
    /// The pair's name.
    pub name: String,
    /// The left speaker.
    pub left: SpeakerId,
    /// The right speaker.
    pub right: SpeakerId,
    /// Distance between the two reference points, metres.
    pub base_m: f64,
    /// Distance of the right speaker from the left one's mirror image in the room's middle
    /// plane, metres.
    pub off_mirror_m: f64,
}

/// Geometry of a pair of speakers as seen from a seat.
#[derive(Debug, Clone, PartialEq)]
pub struct PairGeometry {
    /// The pair's name.
    pub name: String,
    /// The left speaker.
    pub left: SpeakerId,
    /// The right speaker.
    pub right: SpeakerId,
    /// Angle between the two as seen from the seat, degrees.
    pub base_angle_deg: f64,
    /// Distance of the left speaker less that of the right one, metres.
    pub left_farther_m: f64,
    /// Delay of the left speaker's sound relative to the right one's, seconds.
    pub left_later_s: f64,
    /// Distance of the seat from the plane through the middle of the base and normal to it,
    /// metres; positive toward the right speaker.
    pub off_axis_m: f64,
}

impl PairSymmetry {
    pub(super) fn of(scene: &Scene, pair: PairIds) -> Self {
        let [left, right] = positions(scene, pair);
        Self {
            name: pair_name(scene, pair),
            left: pair.0,
            right: pair.1,
            base_m: left.distance(right),
            off_mirror_m: off_mirror_m(left, right, scene.room().width_m),
        }
    }
}

impl PairGeometry {
    pub(super) fn of(scene: &Scene, pair: PairIds, seat: DVec3) -> Self {
        let [left, right] = positions(scene, pair);
        let farther = seat.distance(left) - seat.distance(right);
        Self {
            name: pair_name(scene, pair),
            left: pair.0,
            right: pair.1,
            base_angle_deg: (left - seat).angle_between(right - seat).to_degrees(),
            left_farther_m: farther,
            left_later_s: farther / scene.air().speed_of_sound_m_s(),
            off_axis_m: (seat - left.midpoint(right)).dot((right - left).normalize_or_zero()),
        }
    }
}

fn positions(scene: &Scene, (left, right): PairIds) -> [DVec3; 2] {
    [scene[left].at, scene[right].at]
}

fn off_mirror_m(left: DVec3, right: DVec3, width_m: f64) -> f64 {
    DVec3::new(left.x, width_m - left.y, left.z).distance(right)
}
