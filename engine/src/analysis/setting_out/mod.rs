//! Setting out: from a tape measure to a first layout, and from a layout back to the tape.
//!
//! [`first_layout()`] finds places for a pair of speakers and a seat in an empty room, from the trade's
//! starting points; [`setting_out`] says of any scene where every mark goes, what to check it with,
//! and how well each seat meets its speakers. Nothing here is acoustics of the room: it is plane
//! geometry, the speed of sound and published body measurements.

mod ears;
mod error;
mod first_layout;
mod fit;
mod lean;
mod marks;
mod mismatch;
mod pair;
mod pair_difference;
mod request;
mod second_pair;
mod sheet;
mod toe_in;
mod triangle;

pub use ears::{
    BodyMeasure, EAR_ABOVE_FLOOR, HEAD_ABOVE_EARS_M, SHOES_M, seated_ears_m, standing_ears_m,
};
pub use error::LayoutError;
pub use first_layout::first_layout;
pub use fit::{CABLE_GAP_M, Clearance, ELBOW_ROOM_M, SEAT_FRACTION};
pub use lean::{LEAN_REACH_M, Lean};
pub use marks::{Mark, MarkTarget};
pub use mismatch::{CentreImage, Mismatch};
pub use pair::{PairAtSeat, PairLayout};
pub use pair_difference::PairDifference;
pub use request::{Compromise, EarHeights, EarLevel, FirstLayout, LayoutRequest};
pub use second_pair::{SecondPair, second_pair};
pub use sheet::{CheckDistance, SettingOut, setting_out};
pub use toe_in::ToeIn;
pub use triangle::{depth_m as triangle_depth_m, half_angle_deg};
