//! What is wished for in an empty room, what came of it, and what had to give.

use crate::medium::directivity::{Cabinet, ReferencePoint};
use crate::scene::{Room, Units};
use glam::DVec3;

/// What is known and wished for. What is `None` is chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayoutRequest {
    /// The room as it was measured.
    pub room: Room,
    /// Fire across the shorter side, the room as it was measured; else the longer side is the length.
    pub across: bool,
    /// Height of seated ears, metres.
    pub seated_m: Option<f64>,
    /// Height of standing ears, metres.
    pub standing_m: Option<f64>,
    /// Distance between the speakers' reference points, metres.
    pub base_m: Option<f64>,
    /// Distance of the ears from the front wall, metres.
    pub seat_m: Option<f64>,
    /// How far behind the ears the axes cross and the triangle has its apex, metres.
    pub converge_m: f64,
    /// Whose ears the reference points are level with.
    pub level: EarLevel,
    /// The cabinets.
    pub cabinet: Cabinet,
    /// Distance between woofer and tweeter, metres.
    pub spacing_m: f64,
    /// The point of a cabinet that a height means.
    pub reference: ReferencePoint,
    /// What a round number is.
    pub units: Units,
}

/// Whose ears the reference points are level with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EarLevel {
    /// The seated ones.
    Seated,
    /// The standing ones.
    Standing,
    /// Between both: the mean of the two heights, each counted by the time spent at it. At equal
    /// shares that is half-way (common practice, no source).
    Between {
        /// Share of the time spent seated, 0 to 1.
        seated_share: f64,
    },
}

/// Heights of ears above the floor, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarHeights {
    /// Seated.
    pub seated_m: f64,
    /// Standing; `None` where the ceiling leaves no room for it.
    pub standing_m: Option<f64>,
}

/// A layout that fits: symmetric about the room's centre line.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstLayout {
    /// The room, its length along the way the speakers fire.
    pub room: Room,
    /// Ears of the seat.
    pub ears: EarHeights,
    /// Middle of the seated head.
    pub seat: DVec3,
    /// Reference point of the left speaker.
    pub left: DVec3,
    /// Reference point of the right speaker.
    pub right: DVec3,
    /// Apex of the triangle, at the height of the reference points: where the axes cross.
    pub apex: DVec3,
    /// Distance between the reference points, and from either of them to the apex, metres.
    pub base_m: f64,
    /// What had to give so that it fits, in the order it was found.
    pub compromises: Vec<Compromise>,
}

/// What had to give, where nobody asked for it to be otherwise. Lengths in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Compromise {
    /// The room is wider than long: its sides changed names.
    Turned,
    /// The seat went back from where it usually begins, so that the triangle clears the front wall.
    SeatBack {
        /// Where it usually begins.
        from_m: f64,
        /// Where it is now.
        to_m: f64,
    },
    /// The speakers stand nearer to a wall than elbow room asks for.
    NearWalls {
        /// From the front wall to the reference points.
        front_m: f64,
        /// From either side wall to the reference point.
        side_m: f64,
    },
    /// The asked-for seat is behind the middle of the room.
    BehindMiddle {
        /// Half the length.
        middle_m: f64,
    },
    /// The seated ears are as high as usual standing ones: there is no standing listener.
    SeatedAsHigh {
        /// The ears of one who stands.
        ears_m: f64,
    },
    /// Nobody of usual height can stand: there is no standing listener.
    NoStanding {
        /// The ears of one who could.
        ears_m: f64,
    },
}
