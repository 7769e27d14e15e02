//! Layout requests that cannot be met, each with the nearest that can.

use std::ops::RangeInclusive;

/// Reason why there is no layout as requested, and the nearest possible one. Lengths in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LayoutError {
    /// A length that is not one, or not of a room or a head.
    OutOfRange {
        /// The quantity.
        what: &'static str,
        /// The given length.
        given_m: f64,
        /// Least that is taken.
        least_m: f64,
        /// Most that is taken.
        most_m: f64,
    },
    /// The speakers would stand in the side walls.
    ThroughSideWalls {
        /// The requested base.
        base_m: f64,
        /// The largest base that fits.
        largest_m: f64,
    },
    /// At the requested seat the speakers would stand in the front wall.
    ThroughFrontWall {
        /// The requested base.
        base_m: f64,
        /// The requested seat.
        seat_m: f64,
        /// The largest base at this seat, where one is large enough to be of use.
        largest_m: Option<f64>,
        /// The nearest seat for this base, where the room has it.
        nearest_seat_m: Option<f64>,
    },
    /// The requested base would need a seat behind the middle of the room.
    SeatBehindMiddle {
        /// The requested base.
        base_m: f64,
        /// The seat it needs.
        needs_m: f64,
        /// The largest base with a seat in the front half.
        largest_m: f64,
    },
    /// The requested seat leaves no useful triangle in front of the front wall.
    SeatTooFarForward {
        /// The requested seat.
        seat_m: f64,
        /// The nearest that does.
        nearest_m: f64,
    },
    /// The axes would have to cross so far behind the ears that the speakers stand beside them.
    ConvergeTooFar {
        /// The requested distance.
        converge_m: f64,
        /// The most.
        most_m: f64,
    },
    /// Nobody can sit under this ceiling.
    CeilingTooLow {
        /// The room's height.
        height_m: f64,
        /// The least.
        least_m: f64,
    },
    /// Ears so high would have the head in the ceiling.
    HeadInCeiling {
        /// Whether standing.
        standing: bool,
        /// The requested ears.
        ears_m: f64,
        /// The highest that fit.
        most_m: f64,
    },
    /// A height for standing ears was requested, and there is no standing listener.
    NoStanding {
        /// The highest ears that fit.
        most_m: f64,
    },
    /// A cabinet at this height would be in floor or ceiling.
    CabinetTooTall {
        /// Height of the reference point.
        height_m: f64,
        /// The lowest that fits.
        least_m: f64,
        /// The highest that fits.
        most_m: f64,
    },
    /// Not even a small triangle fits.
    RoomTooSmall {
        /// The least length.
        length_m: f64,
        /// The least width.
        width_m: f64,
    },
}

/// Passes what lies within limits.
pub(super) fn within(
    what: &'static str,
    given_m: f64,
    limits: &RangeInclusive<f64>,
) -> Result<(), LayoutError> {
    if limits.contains(&given_m) {
        return Ok(());
    }
    let (least_m, most_m) = (*limits.start(), *limits.end());
    Err(LayoutError::OutOfRange { what, given_m, least_m, most_m })
}
