//! Differences at one seat between two pairs of speakers.

use super::pair::PairLayout;
use crate::scene::{ListenerId, Scene};

/// Another pair against the first one, at one seat: means of left and right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairDifference {
    /// The listener.
    pub listener: ListenerId,
    /// The first pair, by its place in the sheet.
    pub first: usize,
    /// The other pair, by its place in the sheet.
    pub other: usize,
    /// Distance of the other pair less that of the first, metres.
    pub farther_m: f64,
    /// Delay of the other pair relative to the first, seconds.
    pub later_s: f64,
    /// Attenuation of the other pair relative to the first by spherical spreading, decibels.
    pub weaker_db: f64,
    /// Base angle of the other pair less that of the first, degrees.
    pub wider_deg: f64,
    /// Height of the other pair's reference points less that of the first's, metres.
    pub higher_m: f64,
}

/// Every further pair against the first, at every seat.
pub(super) fn contrasts(scene: &Scene, pairs: &[PairLayout]) -> Vec<PairDifference> {
    let Some((first, others)) = pairs.split_first() else { return Vec::new() };
    let up_m = |pair: &PairLayout| f64::midpoint(scene[pair.left].at.z, scene[pair.right].at.z);
    let mut found = Vec::new();
    for (index, other) in others.iter().enumerate() {
        for (one, two) in first.seats.iter().zip(&other.seats) {
            let [near_m, far_m] =
                [one, two].map(|seat| f64::midpoint(seat.to_ears_m[0], seat.to_ears_m[1]));
            found.push(PairDifference {
                listener: two.listener,
                first: 0,
                other: index + 1,
                farther_m: far_m - near_m,
                later_s: (far_m - near_m) / scene.air().speed_of_sound_m_s(),
                weaker_db: 20.0 * (far_m / near_m).log10(),
                wider_deg: two.base_angle_deg - one.base_angle_deg,
                higher_m: up_m(other) - up_m(first),
            });
        }
    }
    found
}
