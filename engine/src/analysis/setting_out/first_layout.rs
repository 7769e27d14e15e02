//! A first layout for an empty room, from the usual starting points of practice.

use super::ears::{HEAD_ABOVE_EARS_M, seated_ears_m, standing_ears_m};
use super::error::{LayoutError, within};
use super::fit::{
    BASE_LEAST_M, BEHIND_EARS_M, Clearance, ELBOW_ROOM_M, Fit, SEAT_FRACTION, SLACK_M,
};
use super::request::{Compromise, EarHeights, EarLevel, FirstLayout, LayoutRequest};
use super::triangle;
use crate::scene::{ROOM_SIDE_M, Room};
use glam::DVec3;

/// Smallest base that may be requested, metres: the cabinets nearly touch.
const BASE_ASKED_LEAST_M: f64 = 0.3;
/// Farther behind the ears nobody lets the axes cross, metres.
const CONVERGE_MOST_M: f64 = 2.0;
/// Ears are at least this far behind the line between the speakers, metres.
pub(super) const EARS_BEHIND_LINE_M: f64 = 0.2;
/// Nearest seat that may be requested, metres.
const SEAT_LEAST_M: f64 = 0.3;
const SEAT: &str = "the seat's distance from the front wall";
/// Lowest ears, metres: someone sits on the floor.
const EARS_LEAST_M: f64 = 0.4;

/// Finds a layout: speakers firing down the length, ears at 38 % of it, an equilateral triangle on
/// the centre line with its apex at the ears or behind them. Lengths that were not
/// requested are adjusted until it fits, and listed as compromises; requested ones are kept.
///
/// # Errors
/// The request cannot be met; the nearest that can.
pub fn first_layout(request: &LayoutRequest) -> Result<FirstLayout, LayoutError> {
    let mut compromises = Vec::new();
    let room = lengthwise(request, &mut compromises)?;
    within("how far behind the ears the axes cross", request.converge_m, &(0.0..=CONVERGE_MOST_M))?;
    let ears = ears(request, &room, &mut compromises)?;
    let fit = Fit {
        room,
        clearance: Clearance::of(&request.cabinet, request.spacing_m, request.reference),
        converge_m: request.converge_m,
        units: request.units,
    };
    let (seat_m, base_m) = seat_and_base(&fit, request, &mut compromises)?;
    near_walls(&fit, seat_m, base_m, &mut compromises);
    let most_m = triangle::depth_m(base_m) - EARS_BEHIND_LINE_M;
    if most_m < request.converge_m {
        return Err(LayoutError::ConvergeTooFar {
            converge_m: request.converge_m,
            most_m: most_m.max(0.0),
        });
    }
    let up_m = reference_height(request, ears, &fit)?;
    let apex = DVec3::new(seat_m + request.converge_m, 0.5 * room.width_m, up_m);
    let line_m = apex.x - triangle::depth_m(base_m);
    let speaker = |side: f64| DVec3::new(line_m, apex.y + side * 0.5 * base_m, up_m);
    Ok(FirstLayout {
        room,
        ears,
        seat: DVec3::new(seat_m, apex.y, ears.seated_m),
        left: speaker(-1.0),
        right: speaker(1.0),
        apex,
        base_m,
        compromises,
    })
}

/// The room with its length along the way the speakers fire.
fn lengthwise(
    request: &LayoutRequest,
    compromises: &mut Vec<Compromise>,
) -> Result<Room, LayoutError> {
    let room = request.room;
    within("the room's length", room.length_m, &ROOM_SIDE_M)?;
    within("the room's width", room.width_m, &ROOM_SIDE_M)?;
    within("the room's height", room.height_m, &ROOM_SIDE_M)?;
    if request.across || room.width_m <= room.length_m {
        return Ok(room);
    }
    compromises.push(Compromise::Turned);
    Ok(Room { length_m: room.width_m, width_m: room.length_m, ..room })
}

fn ears(
    request: &LayoutRequest,
    room: &Room,
    compromises: &mut Vec<Compromise>,
) -> Result<EarHeights, LayoutError> {
    let most_m = room.height_m - HEAD_ABOVE_EARS_M;
    if most_m < EARS_LEAST_M {
        let least_m = EARS_LEAST_M + HEAD_ABOVE_EARS_M;
        return Err(LayoutError::CeilingTooLow { height_m: room.height_m, least_m });
    }
    let checked = |ears_m: f64, standing: bool| {
        let what =
            if standing { "the height of standing ears" } else { "the height of seated ears" };
        within(what, ears_m, &(EARS_LEAST_M..=*ROOM_SIDE_M.end()))?;
        if most_m < ears_m {
            return Err(LayoutError::HeadInCeiling { standing, ears_m, most_m });
        }
        Ok(ears_m)
    };
    let seated_m = checked(request.seated_m.unwrap_or_else(seated_ears_m), false)?;
    let standing_m = match request.standing_m {
        Some(asked_m) => Some(checked(asked_m, true)?),
        None => usual_standing_m(seated_m, most_m, compromises),
    };
    Ok(EarHeights { seated_m, standing_m })
}

/// Standing ears of usual height, where the ceiling lets them stand and they are the higher ones.
fn usual_standing_m(seated_m: f64, most_m: f64, compromises: &mut Vec<Compromise>) -> Option<f64> {
    let usual_m = standing_ears_m();
    if most_m < usual_m {
        compromises.push(Compromise::NoStanding { ears_m: usual_m });
        return None;
    }
    if usual_m <= seated_m {
        compromises.push(Compromise::SeatedAsHigh { ears_m: usual_m });
        return None;
    }
    Some(usual_m)
}

/// Seat and base, metres.
fn seat_and_base(
    fit: &Fit,
    request: &LayoutRequest,
    compromises: &mut Vec<Compromise>,
) -> Result<(f64, f64), LayoutError> {
    let middle_m = 0.5 * fit.room.length_m;
    if let Some(base_m) = request.base_m {
        base_between_walls(fit, base_m)?;
    } else if fit.widest_m() < BASE_LEAST_M - SLACK_M {
        return Err(too_small(fit));
    }
    if let Some(seat_m) = request.seat_m {
        if fit.farthest_seat_m() < SEAT_LEAST_M {
            return Err(too_small(fit));
        }
        within(SEAT, seat_m, &(SEAT_LEAST_M..=fit.farthest_seat_m()))?;
        if middle_m + SLACK_M < seat_m {
            compromises.push(Compromise::BehindMiddle { middle_m });
        }
    }
    let (seat_m, base_m) = match (request.seat_m, request.base_m) {
        (Some(seat_m), Some(base_m)) => (seat_m, base_at_seat(fit, base_m, seat_m)?),
        (Some(seat_m), None) => (seat_m, base_for_seat(fit, seat_m)?),
        (None, Some(base_m)) => (seat_for_base(fit, base_m, compromises)?, base_m),
        (None, None) => usual(fit, compromises)?,
    };
    within(SEAT, seat_m, &(0.0..=fit.farthest_seat_m()))?;
    Ok((seat_m, base_m))
}

/// The usual starting point, or the least that fits.
fn usual(fit: &Fit, compromises: &mut Vec<Compromise>) -> Result<(f64, f64), LayoutError> {
    let seat_m = SEAT_FRACTION * fit.room.length_m;
    if let Some(base_m) = fit.usual_base_m(seat_m) {
        return Ok((seat_m, base_m));
    }
    let needs_m = fit.nearest_seat_m(BASE_LEAST_M);
    if (0.5 * fit.room.length_m).min(fit.farthest_seat_m()) < needs_m {
        return Err(too_small(fit));
    }
    Ok((moved_back(seat_m, needs_m, compromises), BASE_LEAST_M))
}

/// The initial base at a requested seat.
fn base_for_seat(fit: &Fit, seat_m: f64) -> Result<f64, LayoutError> {
    let nearest_m = fit.nearest_seat_m(BASE_LEAST_M);
    if fit.farthest_seat_m() < nearest_m {
        return Err(too_small(fit));
    }
    fit.usual_base_m(seat_m).ok_or(LayoutError::SeatTooFarForward { seat_m, nearest_m })
}

/// The seat for a requested base: the usual one, or the nearest behind it in the front half.
fn seat_for_base(
    fit: &Fit,
    base_m: f64,
    compromises: &mut Vec<Compromise>,
) -> Result<f64, LayoutError> {
    let middle_m = 0.5 * fit.room.length_m;
    let needs_m = fit.nearest_seat_m(base_m);
    if needs_m <= middle_m + SLACK_M {
        return Ok(moved_back(SEAT_FRACTION * fit.room.length_m, needs_m, compromises));
    }
    let largest_m = fit.rounded_down(fit.largest_base_m(middle_m));
    if largest_m < BASE_ASKED_LEAST_M {
        return Err(too_small(fit));
    }
    Err(LayoutError::SeatBehindMiddle { base_m, needs_m, largest_m })
}

/// Checks that a requested base fits the width.
fn base_between_walls(fit: &Fit, base_m: f64) -> Result<(), LayoutError> {
    within("the base", base_m, &(BASE_ASKED_LEAST_M..=*ROOM_SIDE_M.end()))?;
    if base_m <= fit.widest_m() + SLACK_M {
        return Ok(());
    }
    let middle_m = 0.5 * fit.room.length_m;
    let largest_m = fit.rounded_down(fit.largest_base_m(middle_m));
    if largest_m < BASE_ASKED_LEAST_M {
        return Err(too_small(fit));
    }
    Err(LayoutError::ThroughSideWalls { base_m, largest_m })
}

/// The base at a requested seat, where both are given.
fn base_at_seat(fit: &Fit, base_m: f64, seat_m: f64) -> Result<f64, LayoutError> {
    let largest = fit.largest_base_m(seat_m);
    if base_m <= largest + SLACK_M {
        return Ok(base_m);
    }
    let rounded = fit.rounded_down(largest);
    let nearest = fit.nearest_seat_m(base_m);
    Err(LayoutError::ThroughFrontWall {
        base_m,
        seat_m,
        largest_m: (BASE_ASKED_LEAST_M <= rounded).then_some(rounded),
        nearest_seat_m: (nearest <= fit.farthest_seat_m()).then_some(nearest),
    })
}

/// The usual seat, or the nearest behind it that the triangle needs.
fn moved_back(usual_m: f64, needs_m: f64, compromises: &mut Vec<Compromise>) -> f64 {
    if needs_m <= usual_m + SLACK_M {
        return usual_m;
    }
    // Up to the next centimetre: round, and clear of the wall.
    let to_m = (needs_m * 100.0 - 1e-6).ceil() / 100.0;
    compromises.push(Compromise::SeatBack { from_m: usual_m, to_m });
    to_m
}

fn near_walls(fit: &Fit, seat_m: f64, base_m: f64, compromises: &mut Vec<Compromise>) {
    let front_m = seat_m + fit.converge_m - triangle::depth_m(base_m);
    let side_m = 0.5 * (fit.room.width_m - base_m);
    if front_m.min(side_m) < ELBOW_ROOM_M - SLACK_M {
        compromises.push(Compromise::NearWalls { front_m, side_m });
    }
}

/// Height of the reference points, metres.
fn reference_height(
    request: &LayoutRequest,
    ears: EarHeights,
    fit: &Fit,
) -> Result<f64, LayoutError> {
    let most_m = fit.room.height_m - HEAD_ABOVE_EARS_M;
    let standing_m = ears.standing_m.ok_or(LayoutError::NoStanding { most_m });
    let height_m = match request.level {
        EarLevel::Seated => ears.seated_m,
        EarLevel::Standing => standing_m?,
        EarLevel::Between { seated_share } => {
            seated_share * ears.seated_m + (1.0 - seated_share) * standing_m?
        }
    };
    let (least_m, most_m) = (fit.clearance.below_m, fit.room.height_m - fit.clearance.above_m);
    if height_m < least_m || most_m < height_m {
        return Err(LayoutError::CabinetTooTall { height_m, least_m, most_m });
    }
    Ok(height_m)
}

/// Error with the least room for these cabinets.
fn too_small(fit: &Fit) -> LayoutError {
    let seat_m = fit.nearest_seat_m(BASE_LEAST_M);
    LayoutError::RoomTooSmall {
        length_m: (2.0 * seat_m).max(seat_m + BEHIND_EARS_M),
        width_m: BASE_LEAST_M + 2.0 * fit.clearance.side_m,
    }
}
