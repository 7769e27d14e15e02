//! What a person reads when a first scene is written, or why it is not.

use super::{EARS_SOURCE, FirstScene};
use crate::content::document::Document;
use crate::format::length;
use earline_engine::analysis::setting_out::{
    Compromise, ELBOW_ROOM_M, LayoutError, SEAT_FRACTION, half_angle_deg,
};
use earline_engine::scene::Units;
use std::ops::RangeInclusive;

/// A desk that does not stand before the seat, and the widths of one that does.
pub(crate) fn no_desk(widths_m: Option<&RangeInclusive<f64>>, units: Units) -> (String, String) {
    match widths_m {
        Some(widths) => (
            "a desk of that width does not stand before the seat".to_owned(),
            format!("give --desk from {}, or leave it out", length::limits(widths, units)),
        ),
        None => (
            "there is no room for a desk before the seat".to_owned(),
            "leave --desk out".to_owned(),
        ),
    }
}

/// A second pair that does not fit, and the bases of one that does.
pub(crate) fn no_second_pair(bases_m: &[RangeInclusive<f64>], units: Units) -> (String, String) {
    if bases_m.is_empty() {
        return (
            "there is no room for a second pair at this seat".to_owned(),
            "leave --second-base out".to_owned(),
        );
    }
    let ranges: Vec<String> = bases_m.iter().map(|bases| length::limits(bases, units)).collect();
    (
        "a second pair so far apart would stand in the first one, in a wall or at the ears"
            .to_owned(),
        format!("give --second-base from {}, or leave it out", ranges.join(", or from ")),
    )
}

/// The whole answer, every line within `width`.
pub(crate) fn document(first: &FirstScene, file: &str) -> Document {
    let mut document = Document::default();
    document.heading("A first scene");
    for part in [room(first), speakers(first), seat(first), ears(first)] {
        document.note(part);
    }
    if let Some(second) = &first.second {
        let (apart, from_front) = (second.base_m, second.left.x);
        let [apart, from_front] = [apart, from_front].map(|m| length::mark(m, first.units));
        document.note(format!("Second pair: {apart} apart, {from_front} from the front wall."));
    }
    for piece in &first.pieces {
        document.note(piece.words(first.units));
    }
    let gave: Vec<String> =
        first.layout.compromises.iter().map(|gave| gave_way(gave, first.units)).collect();
    if !gave.is_empty() {
        document.heading("What had to give");
        document.list(gave);
    }
    document.pause();
    document.paragraph(
        "38 %, equal sides and ear height are common practice: starting points to experiment from.",
    );
    if !first.finishes.are_known() {
        document.paragraph(
            "Walls, floor and ceiling are guesses; put in your own, as in --walls brick --floor carpet.",
        );
    }
    let next = format!(
        "Next: `earline check {file}`, `earline tape {file}` for the tape, `earline trace {file}` \
         for what arrives at the ears."
    );
    document.paragraph(next);
    document
}

fn room(first: &FirstScene) -> String {
    let room = first.layout.room;
    let [long, wide, high] =
        [room.length_m, room.width_m, room.height_m].map(|m| length::length(m, first.units));
    format!("Room: {long} long, {wide} wide, {high} high.")
}

fn speakers(first: &FirstScene) -> String {
    let layout = &first.layout;
    let mark = |metres| length::mark(metres, first.units);
    format!(
        "Speakers: {} apart, {} from the front wall, {} from the side walls, {} up, turned in by \
         30°.",
        mark(layout.base_m),
        mark(layout.left.x),
        mark(layout.left.y),
        mark(layout.left.z),
    )
}

fn seat(first: &FirstScene) -> String {
    let layout = &first.layout;
    let angle = half_angle_deg(layout.base_m, layout.seat.x - layout.left.x);
    let apex = if first.request.converge_m > 0.0 {
        let behind = length::offset(first.request.converge_m, first.units);
        format!(
            "the triangle meets {behind} behind them, so they see the speakers {angle:.1}° to either side"
        )
    } else {
        "they are the third corner of the triangle, the speakers 30° to either side".to_owned()
    };
    format!(
        "Seat: ears {} from the front wall ({:.0} % of the length), on the centre line; {apex}.",
        length::mark(layout.seat.x, first.units),
        100.0 * layout.seat.x / layout.room.length_m,
    )
}

fn ears(first: &FirstScene) -> String {
    let mark = |metres| length::mark(metres, first.units);
    let ears = first.layout.ears;
    let standing =
        ears.standing_m.map_or_else(String::new, |up_m| format!(", {} standing", mark(up_m)));
    let source = match (first.request.seated_m, first.request.standing_m) {
        (Some(_), Some(_)) => return format!("Ears: {} seated{standing}.", mark(ears.seated_m)),
        (Some(_), None) if ears.standing_m.is_none() => {
            return format!("Ears: {} seated.", mark(ears.seated_m));
        }
        (None, Some(_)) => "Seated, ",
        (Some(_), None) => "Standing, ",
        (None, None) => "Nobody measured them: ",
    };
    format!("Ears: {} seated{standing}. {source}{EARS_SOURCE}", mark(ears.seated_m))
}

fn gave_way(gave: &Compromise, units: Units) -> String {
    let mark = |metres: f64| length::mark(metres, units);
    match *gave {
        Compromise::Turned => {
            "The room is wider than long. Speakers usually fire down the long side, so \
                         the longer side is the length now; --across keeps it as you measured."
                .to_owned()
        }
        Compromise::SeatBack { from_m, to_m } => format!(
            "At {:.0} % of the length ({}) the speakers would stand in the front wall: the seat \
             went back to {}.",
            100.0 * SEAT_FRACTION,
            mark(from_m),
            mark(to_m)
        ),
        Compromise::NearWalls { front_m, side_m } => format!(
            "The speakers stand close to the walls: {} from the front wall, {} from the side walls; \
             {} and more would be better.",
            mark(front_m),
            mark(side_m),
            length::offset(ELBOW_ROOM_M, units)
        ),
        Compromise::BehindMiddle { middle_m } => format!(
            "The seat is behind the middle of the room ({}); in front of it the bass is usually \
             less uneven.",
            mark(middle_m)
        ),
        Compromise::SeatedAsHigh { ears_m } => format!(
            "The seated ears are as high as usual standing ones ({}): there is no standing listener. \
             Give --standing-ear for one.",
            mark(ears_m)
        ),
        Compromise::NoStanding { ears_m } => format!(
            "Nobody of usual height (ears {} up) can stand under this ceiling: there is no standing \
             listener. Give --standing-ear for someone who can.",
            mark(ears_m)
        ),
    }
}

/// Why there is no layout, and what would be one.
pub(crate) fn impossible(why: &LayoutError, units: Units) -> (String, String) {
    // An offer is rounded inward, so that it holds when it is typed.
    let mark = |metres: f64| length::mark(metres, units);
    // What is too much or too little looks it, however little it is.
    let over = |metres: f64, most_m: f64| length::beyond(metres, &(0.0..=most_m), units);
    let under = |metres: f64, least_m: f64| length::beyond(metres, &(least_m..=f64::MAX), units);
    match *why {
        LayoutError::OutOfRange { what, given_m, least_m, most_m } => {
            let limits = least_m..=most_m;
            let given = length::beyond(given_m, &limits, units);
            let range = length::limits(&limits, units);
            (format!("{what} cannot be {given}"), format!("give a length from {range}"))
        }
        LayoutError::ThroughSideWalls { base_m, largest_m } => (
            format!("speakers {} apart would stand in the side walls", over(base_m, largest_m)),
            format!("the largest base that fits is --base '{}'", mark(largest_m)),
        ),
        LayoutError::ThroughFrontWall { base_m, seat_m, largest_m, nearest_seat_m } => (
            format!(
                "with the ears {} from the front wall, speakers {} apart would stand in it",
                nearest_seat_m.map_or(mark(seat_m), |nearest_m| under(seat_m, nearest_m)),
                largest_m.map_or(mark(base_m), |largest_m| over(base_m, largest_m))
            ),
            front_wall(largest_m, nearest_seat_m, units),
        ),
        LayoutError::SeatBehindMiddle { base_m, needs_m, largest_m } => (
            format!(
                "speakers {} apart would put the seat behind the middle of the room, {} from the \
                 front wall at least",
                over(base_m, largest_m),
                mark(needs_m)
            ),
            format!(
                "the largest base with a seat in the front half is --base '{}'; to sit farther \
                 back all the same, add --seat '{}'",
                mark(largest_m),
                up(needs_m, units)
            ),
        ),
        LayoutError::SeatTooFarForward { seat_m, nearest_m } => (
            format!(
                "ears {} from the front wall leave no room for speakers before them",
                under(seat_m, nearest_m)
            ),
            format!("the nearest that does is --seat '{}'", up(nearest_m, units)),
        ),
        LayoutError::ConvergeTooFar { converge_m, most_m } => (
            format!(
                "speakers aimed {} behind the ears would stand beside them",
                over(converge_m, most_m)
            ),
            format!("at this base, aim at most {} behind the ears", down(most_m, units)),
        ),
        LayoutError::CeilingTooLow { height_m, least_m } => (
            format!("nobody can sit under a ceiling {} high", under(height_m, least_m)),
            format!("the room has to be {} high at least", up(least_m, units)),
        ),
        LayoutError::HeadInCeiling { standing, ears_m, most_m } => (
            format!(
                "with ears {} up, a {} head would be in the ceiling",
                over(ears_m, most_m),
                if standing { "standing" } else { "seated" }
            ),
            format!("ears can be {} up at most here", down(most_m, units)),
        ),
        LayoutError::NoStanding { most_m } => (
            "there are no standing ears of usual height here to level the speakers with".to_owned(),
            format!(
                "level them with seated ears, or give --standing-ear, at most {}",
                down(most_m, units)
            ),
        ),
        LayoutError::CabinetTooTall { height_m, least_m, most_m } => (
            format!(
                "a cabinet with its reference point {} up does not fit in",
                length::beyond(height_m, &(least_m..=most_m), units)
            ),
            format!("from {} to {} fits", up(least_m, units), down(most_m, units)),
        ),
        LayoutError::RoomTooSmall { length_m, width_m } => (
            "not even a small triangle fits into this room".to_owned(),
            format!(
                "about {} of length and {} of width are needed for cabinets of the usual size",
                up(length_m, units),
                up(width_m, units)
            ),
        ),
    }
}

fn front_wall(largest_m: Option<f64>, nearest_seat_m: Option<f64>, units: Units) -> String {
    let base = largest_m.map(|m| format!("--base '{}' fits at this seat", length::mark(m, units)));
    let seat = nearest_seat_m.map(|m| format!("--seat '{}' has room for this base", up(m, units)));
    let offers: Vec<String> = base.into_iter().chain(seat).collect();
    if offers.is_empty() {
        "leave out --base or --seat, and it is chosen to fit".to_owned()
    } else {
        offers.join("; ")
    }
}

/// What the tape can read and is no less.
fn up(metres: f64, units: Units) -> String {
    length::mark(metres + STEP_M, units)
}

/// What the tape can read and is no more.
fn down(metres: f64, units: Units) -> String {
    length::mark(metres - STEP_M, units)
}

/// Half an eighth of an inch: the most that rounding for the tape can take away, metres.
const STEP_M: f64 = 0.0016;
