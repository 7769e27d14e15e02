//! Largest listening triangle that fits a room, with cabinets of finite size.

use super::triangle;
use crate::medium::directivity::{Cabinet, ReferencePoint};
use crate::scene::{Room, Units};

/// Rule-of-thumb distance of the seat from the front wall, as a fraction of the length (common practice, no source).
pub const SEAT_FRACTION: f64 = 0.38;

/// Behind and beside a cabinet this much stays free for plugs and fingers, metres (common practice).
pub const CABLE_GAP_M: f64 = 0.05;

/// A reference point this far from front and side walls has elbow room, metres; our choice, between
/// a cabinet that just fits and the metre that listening-room recommendations ask for (ITU-R BS.1116,
/// from memory), which few home rooms have.
pub const ELBOW_ROOM_M: f64 = 0.6;
/// Widest base that is proposed, metres (ITU-R BS.775 and BS.1116: 2 to 3 m; read second-hand).
const BASE_USUAL_MAX_M: f64 = 3.0;
/// Base below which the speakers give up elbow room and go nearer to the walls; our
/// choice, metres.
const BASE_GOOD_M: f64 = 1.0;
/// Smallest base that is proposed, metres; our choice.
pub(super) const BASE_LEAST_M: f64 = 0.6;
/// Behind the ears stay head, backrest and a hand's breadth, metres; our choice.
pub(super) const BEHIND_EARS_M: f64 = 0.25;
/// Differences below this are within what a tape tells, metres.
pub(super) const SLACK_M: f64 = 0.0005;

/// Extent of a cabinet, turned to the apex of an equilateral triangle, from its reference point,
/// metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// Toward the front wall, plugs included.
    pub front_m: f64,
    /// Toward its side wall, plugs included.
    pub side_m: f64,
    /// Upward.
    pub above_m: f64,
    /// Downward.
    pub below_m: f64,
}

impl Clearance {
    /// Of an upright cabinet with two drivers so far apart, half-way between them in the middle of
    /// its front, turned in by 30°.
    pub fn of(cabinet: &Cabinet, spacing_m: f64, reference: ReferencePoint) -> Self {
        let (sin, cos) = 30.0_f64.to_radians().sin_cos();
        let half_width_m = 0.5 * cabinet.width_m;
        let up_m = match reference {
            ReferencePoint::Tweeter => 0.5 * spacing_m,
            ReferencePoint::Between => 0.0,
            ReferencePoint::Woofer => -0.5 * spacing_m,
        };
        Self {
            front_m: cabinet.depth_m * cos + half_width_m * sin + CABLE_GAP_M,
            side_m: cabinet.depth_m * sin + half_width_m * cos + CABLE_GAP_M,
            above_m: 0.5 * cabinet.height_m - up_m,
            below_m: 0.5 * cabinet.height_m + up_m,
        }
    }
}

/// A room and the cabinets that are to go into it, with the apex of the triangle so far behind the
/// ears.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fit {
    pub(super) room: Room,
    pub(super) clearance: Clearance,
    pub(super) converge_m: f64,
    pub(super) units: Units,
}

impl Fit {
    /// Largest base between the side walls.
    pub(super) fn widest_m(&self) -> f64 {
        self.room.width_m - 2.0 * self.clearance.side_m
    }

    /// Largest base that keeps the cabinets clear of front and side walls with the ears here.
    pub(super) fn largest_base_m(&self, seat_m: f64) -> f64 {
        self.deepest_m(seat_m, self.clearance.front_m).min(self.widest_m())
    }

    /// Least distance of the ears from the front wall with which this base clears it, metres.
    pub(super) fn nearest_seat_m(&self, base_m: f64) -> f64 {
        self.clearance.front_m + triangle::depth_m(base_m) - self.converge_m
    }

    /// Farthest the ears can be from the front wall.
    pub(super) fn farthest_seat_m(&self) -> f64 {
        self.room.length_m - BEHIND_EARS_M
    }

    /// The base to begin with, with the ears here, to a round number; `None` where even the least
    /// does not fit.
    pub(super) fn usual_base_m(&self, seat_m: f64) -> Option<f64> {
        let snug = self.largest_base_m(seat_m);
        if snug + SLACK_M < BASE_LEAST_M {
            return None;
        }
        let roomy = self
            .deepest_m(seat_m, ELBOW_ROOM_M)
            .min(self.room.width_m - 2.0 * ELBOW_ROOM_M)
            .min(BASE_USUAL_MAX_M);
        Some(self.rounded_down(roomy.max(BASE_GOOD_M).min(snug)).max(BASE_LEAST_M))
    }

    /// To 5 cm or 2 in, as a person would choose.
    pub(super) fn rounded_down(&self, metres: f64) -> f64 {
        let step_m = match self.units {
            Units::Metric => 0.05,
            Units::Imperial => 0.0508,
        };
        // A hair more, so that what is round already stays.
        ((metres / step_m + 1e-6).floor() * step_m * 1e6).round() / 1e6
    }

    fn deepest_m(&self, seat_m: f64, front_m: f64) -> f64 {
        triangle::base_m(seat_m + self.converge_m - front_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CABINET: Cabinet = Cabinet { height_m: 0.34, width_m: 0.22, depth_m: 0.27 };

    /// A box turned by 30°, its corners by hand: back 0.27·cos 30° + 0.11·sin 30° = 0.2888 m, side
    /// 0.27·sin 30° + 0.11·cos 30° = 0.2303 m, and 5 cm for plugs.
    #[test]
    fn a_turned_cabinet_reaches_to_its_corners() {
        let clearance = Clearance::of(&CABINET, 0.17, ReferencePoint::Tweeter);
        assert!((clearance.front_m - 0.338_827).abs() < 1e-6, "{clearance:?}");
        assert!((clearance.side_m - 0.280_263).abs() < 1e-6);
        assert!((clearance.above_m - 0.085).abs() < 1e-12);
        assert!((clearance.below_m - 0.255).abs() < 1e-12);
    }

    #[test]
    fn the_nearest_seat_and_the_largest_base_are_inverses() {
        let room = Room { length_m: 5.8, width_m: 4.1, height_m: 2.45 };
        let clearance = Clearance::of(&CABINET, 0.17, ReferencePoint::Between);
        let fit = Fit { room, clearance, converge_m: 0.1, units: Units::Metric };
        for seat_m in [1.2, 2.0, 2.9] {
            let base_m = fit.largest_base_m(seat_m);
            assert!((fit.nearest_seat_m(base_m) - seat_m).abs() < 1e-12);
        }
        assert!((fit.rounded_down(1.85) - 1.85).abs() < 1e-12);
        assert!((fit.rounded_down(1.8499) - 1.8).abs() < 1e-12);
    }
}
