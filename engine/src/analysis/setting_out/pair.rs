//! A pair of speakers: its triangle with every seat, and what differs there.

use super::lean::Lean;
use super::mismatch::Mismatch;
use crate::scene::{ListenerId, PairIds, Scene, SpeakerId, pair_name};
use glam::{DVec2, DVec3};

/// A pair as it is set out.
#[derive(Debug, Clone, PartialEq)]
pub struct PairLayout {
    /// The pair's name.
    pub name: String,
    /// The left speaker.
    pub left: SpeakerId,
    /// The right speaker.
    pub right: SpeakerId,
    /// Between the two reference points, metres.
    pub base_m: f64,
    /// Between their crosses on the floor, metres.
    pub base_floor_m: f64,
    /// Crossing of the two axes, seen from above: metres from front and left wall. `None` where they
    /// run apart, or side by side.
    pub axes_cross_m: Option<[f64; 2]>,
    /// The pair at each requested seat.
    pub seats: Vec<PairAtSeat>,
}

/// A pair at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct PairAtSeat {
    /// The listener.
    pub listener: ListenerId,
    /// From the reference points of left and right to the middle of the head, metres.
    pub to_ears_m: [f64; 2],
    /// Distances between the crosses on the floor, metres.
    pub to_cross_m: [f64; 2],
    /// Error of the triangle: how much longer the left and right sides are than the base, metres.
    pub error_m: [f64; 2],
    /// Angle between the two as the seat sees them, degrees; 60 in an equilateral triangle.
    pub base_angle_deg: f64,
    /// Directions of left and right as the listener faces, degrees, positive to the left.
    pub azimuth_deg: [f64; 2],
    /// Distance of the crossing of the axes behind the ears, metres along the listener's line of sight;
    /// negative is in front of them. `None` where they do not cross.
    pub axes_cross_behind_m: Option<f64>,
    /// Left against right.
    pub mismatch: Mismatch,
    /// The way into the apex of the triangle; `None` where the ears are too far above or below.
    pub lean: Option<Lean>,
}

impl PairLayout {
    pub(super) fn of(scene: &Scene, (left, right): PairIds, listeners: &[ListenerId]) -> Self {
        let [a, b] = [left, right].map(|id| &scene[id]);
        let crossing = crossing([a.at, b.at], [a.axis, b.axis]);
        Self {
            name: pair_name(scene, (left, right)),
            left,
            right,
            base_m: a.at.distance(b.at),
            base_floor_m: floor(a.at).distance(floor(b.at)),
            axes_cross_m: crossing.map(|point| point.to_array()),
            seats: listeners
                .iter()
                .filter_map(|&listener| PairAtSeat::of(scene, [a.at, b.at], listener, crossing))
                .collect(),
        }
    }
}

impl PairAtSeat {
    fn of(
        scene: &Scene,
        places: [DVec3; 2],
        listener: ListenerId,
        crossing: Option<DVec2>,
    ) -> Option<Self> {
        let head = scene.listener(listener)?;
        let [left, right] = places;
        let base_m = left.distance(right);
        let to_ears_m = places.map(|place| place.distance(head.at));
        let [ahead, _, _] = head.frame();
        let ahead = floor(ahead).normalize_or_zero();
        Some(Self {
            listener,
            to_ears_m,
            to_cross_m: places.map(|place| floor(place).distance(floor(head.at))),
            error_m: to_ears_m.map(|side_m| side_m - base_m),
            base_angle_deg: (left - head.at).angle_between(right - head.at).to_degrees(),
            azimuth_deg: places
                .map(|place| head.direction_deg((place - head.at).normalize_or_zero())[0]),
            axes_cross_behind_m: crossing.map(|point| (floor(head.at) - point).dot(ahead)),
            mismatch: Mismatch::at(head.at, places, scene.air().speed_of_sound_m_s()),
            lean: Lean::into(head, places),
        })
    }
}

/// Crossing of two axes in front of both speakers, seen from above.
fn crossing([left, right]: [DVec3; 2], [left_axis, right_axis]: [DVec3; 2]) -> Option<DVec2> {
    let (from, way) = (floor(left), floor(left_axis));
    let (other, other_way) = (floor(right), floor(right_axis));
    let turn = way.perp_dot(other_way);
    // Less than a thousandth of a degree apart they meet nowhere in the house.
    if turn.abs() < 1e-5 {
        return None;
    }
    let along = (other - from).perp_dot(other_way) / turn;
    let along_other = (other - from).perp_dot(way) / turn;
    (0.0 < along && 0.0 < along_other).then(|| from + way * along)
}

fn floor(point: DVec3) -> DVec2 {
    DVec2::new(point.x, point.y)
}
