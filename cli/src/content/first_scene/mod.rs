//! The text of a first scene, with comments for someone who has a tape measure and a question.

mod desk;
pub(crate) mod document;
mod finishes;
mod furnish;
mod piece;
#[cfg(test)]
mod tests;

pub(crate) use self::desk::Desk;
pub(crate) use self::finishes::Finishes;
pub(crate) use self::furnish::collision;
pub(crate) use self::piece::{Measure, PieceKind, PlacedPiece, measured_from};
use crate::format::{length, number};
use earline_engine::analysis::setting_out::{EarLevel, FirstLayout, LayoutRequest, SecondPair};
use earline_engine::medium::directivity::{Cabinet, ReferencePoint};
use earline_engine::scene::{ROOM_SIDE_M, Units, format_length, parse_length};
use glam::DVec3;

/// An ordinary two-way cabinet, to be replaced by the user's own.
pub(crate) const CABINET: Cabinet = Cabinet { height_m: 0.34, width_m: 0.22, depth_m: 0.27 };
/// Between its woofer and its tweeter, metres.
pub(crate) const SPACING_M: f64 = 0.17;
/// Its drivers and crossover.
const DRIVERS: &str =
    "woofer = \"165 mm\", tweeter = \"25 mm\", spacing = \"170 mm\", crossover_hz = 2200";

/// What cannot be, and what would be right.
pub(crate) type Refusal = (String, String);

/// A layout with what it was made from.
#[derive(Debug, Clone)]
pub(crate) struct FirstScene {
    /// Where things go.
    pub(crate) layout: FirstLayout,
    /// What was asked for.
    pub(crate) request: LayoutRequest,
    /// How lengths are written.
    pub(crate) units: Units,
    /// What the room is made of.
    pub(crate) finishes: Finishes,
    /// The desk before the seat.
    pub(crate) desk: Option<Desk>,
    /// A second pair at the same seat.
    pub(crate) second: Option<SecondPair>,
    /// Windows, doors and furniture at the walls.
    pub(crate) pieces: Vec<PlacedPiece>,
}

/// The whole file.
pub(crate) fn text(first: &FirstScene) -> String {
    let units = match first.units {
        Units::Metric => "metric",
        Units::Imperial => "imperial",
    };
    let room = first.layout.room;
    let [long, wide, high] =
        [room.length_m, room.width_m, room.height_m].map(|m| side_of_room(m, first.units));
    let side = |key: &str, value: &str, comment: &str| {
        format!("{:<28}# {comment}\n", format!("{key} = \"{value}\""))
    };
    let sides = [
        side("length", &long, "front wall (behind the speakers) to back wall"),
        side("width", &wide, "left wall to right wall, as you face the speakers"),
        side("height", &high, "floor to ceiling"),
    ];
    let mut parts = vec![format!(
        "{HEAD}\ntitle = \"First room\"\nunits = \"{units}\"\n\n{:<28}# inside, wall to wall\n{}\n{}",
        "[room]",
        sides.concat(),
        first.finishes.text(),
    )];
    let [left, right] = [first.layout.left, first.layout.right];
    parts.push(format!("{}\n{}", speakers_note(first), speaker(first, MAINS, "left", left)));
    parts.push(speaker(first, MAINS, "right", right));
    if let Some(second) = &first.second {
        let note = second_note(first, second);
        parts.push(format!("{note}\n{}", speaker(first, SECOND, "left", second.left)));
        parts.push(speaker(first, SECOND, "right", second.right));
    }
    parts.push(format!(
        "{}\n[[listener]]\nname = \"seated\"\n{}\n",
        ears_note(first),
        at(first, first.layout.seat)
    ));
    if let Some(up_m) = first.layout.ears.standing_m {
        let place = first.layout.seat.with_z(up_m);
        parts.push(format!("[[listener]]\nname = \"standing\"\n{}\n", at(first, place)));
    }
    parts.extend(first.desk.as_ref().map(|desk| desk.text(first.units)));
    let room = &first.layout.room;
    parts.extend(first.pieces.iter().map(|piece| piece.text(room, first.units)));
    parts.push(NEXT.to_owned());
    parts.join("\n")
}

const HEAD: &str = "\
# A first scene: where many people begin, not where you have to end. Every number is yours to
# change; lengths may be written as they come off the tape: \"2.9 m\", \"290 cm\", \"9 ft 6 1/2 in\".
";

const NEXT: &str = "\
# What comes next: desk, sofa and shelves as [[furniture]], curtains and rugs as a [[panel]].
#   earline check    is it right so far?
#   earline tape     where to put the tape, for two people
#   earline trace    what arrives at the ears
";

fn speakers_note(first: &FirstScene) -> String {
    let height = match first.request.level {
        EarLevel::Seated => "level with seated ears".to_owned(),
        EarLevel::Standing => "level with standing ears".to_owned(),
        EarLevel::Between { seated_share } if (seated_share - 0.5).abs() < 1e-9 => {
            "half-way between seated and standing ears".to_owned()
        }
        EarLevel::Between { seated_share } => {
            let share = number::percent(seated_share);
            format!("between seated and standing ears, {share} of the time seated")
        }
    };
    let point = match first.request.reference {
        ReferencePoint::Tweeter => "the tweeter",
        ReferencePoint::Between => "the point half-way between woofer and tweeter",
        ReferencePoint::Woofer => "the woofer",
    };
    let apex = if first.request.converge_m > 0.0 {
        format!("a point {} behind the ears", length::offset(first.request.converge_m, first.units))
    } else {
        "the middle of the head".to_owned()
    };
    comment(&format!(
        "The two speakers and {apex} make a triangle of equal sides, {} each. A place is that of \
         {point}, {height}: from the front wall, from the left wall, above the floor. The cabinet is \
         an ordinary two-way box; put in the sizes of yours.",
        length::mark(first.layout.base_m, first.units),
    ))
}

fn ears_note(first: &FirstScene) -> String {
    let whose = match (first.request.seated_m, first.request.standing_m) {
        (Some(_), Some(_)) => "",
        (None, Some(_)) => " Nobody measured the seated ears:",
        (Some(_), None) => " Nobody measured the standing ears:",
        (None, None) => " Nobody measured the ears:",
    };
    let source = if whose.is_empty() { String::new() } else { format!("{whose} {EARS_SOURCE}") };
    comment(&format!(
        "The middle of the head, at the height of the ears, {} of the length from the front \
         wall.{source}",
        number::percent(first.layout.seat.x / first.layout.room.length_m),
    ))
}

/// Where ear heights come from when nobody measured them.
pub(crate) const EARS_SOURCE: &str = "the height is half-way between the means of men and women in \
    published body measurements (ANSUR II, 2012), seated as they are, standing with shoes. Measure \
    yours.";

/// The pair and the names of its speakers, before their side.
const MAINS: (&str, &str) = ("mains", "");
/// Likewise of a second pair.
const SECOND: (&str, &str) = ("second", "second ");

fn second_note(first: &FirstScene, second: &SecondPair) -> String {
    comment(&format!(
        "A second pair on the same lines to the seat, a triangle of {} to the side. Its cabinet is an \
         ordinary one too; put in the sizes of yours.",
        length::mark(second.base_m, first.units)
    ))
}

fn speaker(first: &FirstScene, (pair, called): (&str, &str), side: &str, place: DVec3) -> String {
    let reference = match first.request.reference {
        ReferencePoint::Tweeter => "tweeter",
        ReferencePoint::Between => "between",
        ReferencePoint::Woofer => "woofer",
    };
    let level = (first.layout.left.z - first.layout.seat.z).abs() < 1e-9;
    let aim = if level && first.request.converge_m <= 0.0 {
        "aim = \"seated\"".to_owned()
    } else {
        format!("aim = {}", point(first, first.layout.apex))
    };
    let size = [CABINET.height_m, CABINET.width_m, CABINET.depth_m]
        .map(|m| format!("\"{:.0} mm\"", m * 1000.0))
        .join(", ");
    format!(
        "[[speaker]]\nname = \"{called}{side}\"\npair = \"{pair}\"\nside = \"{side}\"\n{}\n{aim}\n\
         directivity = {{ kind = \"two-way\", {DRIVERS}, reference = \"{reference}\", cabinet = \
         [{size}] }}\n",
        at(first, place),
    )
}

/// A place, with its reading off the tape where the numbers are finer than that.
fn at(first: &FirstScene, place: DVec3) -> String {
    let line = format!("at = {}", point(first, place));
    let exact = place.to_array().map(|m| reads_back(&format_length(m, first.units), m));
    if exact == [true; 3] {
        return line;
    }
    let [x, y, z] = place.to_array().map(|m| length::mark(m, first.units));
    format!("{line}   # {x}, {y}, {z}")
}

fn point(first: &FirstScene, place: DVec3) -> String {
    let parts = place.to_array().map(|m| format!("\"{}\"", written(m, first.units)));
    format!("[{}]", parts.join(", "))
}

/// A length that reads back to a twentieth of a millimetre: as a tape shows it where that is exact,
/// else in decimals.
pub(super) fn written(metres: f64, units: Units) -> String {
    let shown = format_length(metres, units);
    if reads_back(&shown, metres) { shown } else { decimal(metres, units, 0.0) }
}

/// A side of the room as [`written`]; one at a limit is rounded inward, for it has to be taken.
fn side_of_room(metres: f64, units: Units) -> String {
    let is_taken = |shown: &String| parse_length(shown).is_ok_and(|m| ROOM_SIDE_M.contains(&m));
    let nearest = written(metres, units);
    let inward = [DECIMAL, -DECIMAL].map(|shift| decimal(metres, units, shift));
    let taken = std::iter::once(nearest.clone()).chain(inward).find(is_taken);
    taken.unwrap_or(nearest)
}

/// Last decimal of a metre or a foot that is written.
const DECIMAL: f64 = 1e-4;

/// A length in metres or feet, shifted by so many of them.
fn decimal(metres: f64, units: Units, shift: f64) -> String {
    let (value, unit) = match units {
        Units::Metric => (metres, "m"),
        Units::Imperial => (metres / 0.3048, "ft"),
    };
    format!("{} {unit}", format!("{:.4}", value + shift).trim_end_matches('0'))
}

fn reads_back(shown: &str, metres: f64) -> bool {
    parse_length(shown).is_ok_and(|read| (read - metres).abs() < 1e-6)
}

/// Comment lines of a width that an editor shows.
fn comment(text: &str) -> String {
    let lines = crate::render::columns::paragraph(text, 96);
    lines.iter().map(|line| format!("# {line}")).collect::<Vec<_>>().join("\n")
}
