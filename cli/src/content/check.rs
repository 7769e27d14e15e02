//! The room of a scene: its proportions and symmetry, its speakers and seats.

use crate::content::document::{Cell, Column, Document, Finding, Grade, Table};
use crate::content::mismatch::{NEGLIGIBLE_M, mismatch};
use crate::content::proportion_rule::RULE_SOURCE;
use crate::format::{direction, frequency, length, number, time};
use earline_engine::analysis::room_summary::{
    PairGeometry, PairSymmetry, ProportionRule, RoomSummary, Seat,
};
use earline_engine::metrics::diffuse_field::DiffuseField;
use earline_engine::scene::{Scene, Surface, Units, Variant};

/// From this width on, every figure of a speaker has a column of its own.
const ROOMY: usize = 76;
/// From this width on, every figure of a speaker as a seat has it does.
const ROOMY_SEAT: usize = 90;

/// The whole answer.
pub(crate) fn document(
    scene: &Scene,
    state: &Variant<'_>,
    survey: &RoomSummary,
    statistics: &DiffuseField,
    warnings: usize,
) -> Document {
    let mut document = Document::of_scene(scene, state);
    document.append(about(scene, survey, statistics));
    document.heading("Speakers").table(speakers(scene, survey));
    for pair in &survey.pairs {
        document.note(base(pair, scene.units()));
    }
    for seat in &survey.seats {
        document.append(at_seat(scene, seat));
    }
    document.heading("Verdict").verdict([verdict(warnings)]);
    document
}

/// Whether the scene can be worked with as it is.
fn verdict(warnings: usize) -> Finding {
    match warnings {
        0 => Finding::new(Grade::Good, "The scene is valid, and nothing in it looks odd."),
        1 => Finding::new(
            Grade::Fair,
            "The scene is valid, with one thing worth a look; a room may have good reasons to differ.",
        ),
        many => Finding::new(
            Grade::Fair,
            format!(
                "The scene is valid, with {many} things worth a look; a room may have good reasons to \
                 differ."
            ),
        ),
    }
}

/// The room as such.
pub(crate) fn about(scene: &Scene, survey: &RoomSummary, statistics: &DiffuseField) -> Document {
    let mut document = Document::default();
    document.paragraphs([
        room(scene, survey),
        proportions(survey),
        symmetry(survey),
        reverberation(statistics),
    ]);
    document
}

fn room(scene: &Scene, survey: &RoomSummary) -> String {
    let units = scene.units();
    let [length, wide, high] = scene.room().size().to_array().map(|m| length::length(m, units));
    format!(
        "{length} long, {wide} wide, {high} high: {} of air, {} of floor, {} of surface in all.",
        length::volume(survey.volume_m3, units),
        length::area(survey.floor_m2, units),
        length::area(survey.surface_m2, units),
    )
}

fn proportions(survey: &RoomSummary) -> String {
    let p = &survey.proportions;
    let verdict = match p.rule {
        ProportionRule::Met => format!(
            "inside the published rule, which asks for {:.2} to {:.2} times the height in length \
             at this width",
            p.least, p.greatest
        ),
        ProportionRule::TooSquare => {
            "outside the published rule: nearly square in plan for its height".to_owned()
        }
        ProportionRule::TooLong => {
            "outside the published rule: long for its width and height".to_owned()
        }
        ProportionRule::TooLow => {
            "outside the published rule: a side is three heights or more".to_owned()
        }
    };
    format!(
        "Proportions 1 : {:.2} : {:.2} (height, width, length), {verdict} ({RULE_SOURCE}). No \
         proportion saves or spoils a room by itself.",
        p.width_to_height, p.length_to_height
    )
}

fn symmetry(survey: &RoomSummary) -> String {
    let m = survey.mirror;
    let mut odd = Vec::new();
    if !m.side_walls_match {
        odd.push("left and right wall are of different material".to_owned());
    }
    for (count, one, many) in [
        (m.unmatched_panels, "panel has", "panels have"),
        (
            m.unmatched_objects,
            "screen, piece of furniture or solid cabinet has",
            "screens, pieces of furniture or solid cabinets have",
        ),
    ] {
        match count {
            0 => {}
            1 => odd.push(format!("1 {one} no twin across the room")),
            n => odd.push(format!("{n} {many} no twin across the room")),
        }
    }
    if odd.is_empty() {
        "Left and right mirror each other.".to_owned()
    } else {
        format!("Left and right differ: {}.", odd.join("; "))
    }
}

fn reverberation(statistics: &DiffuseField) -> String {
    let mid = [4, 3].map(|band: usize| statistics.eyring_s.get(band).copied().flatten());
    let [Some(at_1k), Some(at_500)] = mid else {
        return "Hardly anything absorbs: no reverberation time can be given.".to_owned();
    };
    let schroeder = statistics.schroeder_hz.map_or_else(String::new, |hz| {
        format!(
            " Below about {} single room modes rule (Schroeder frequency).",
            frequency::approximate(hz)
        )
    });
    format!(
        "Reverberation about {} s by Eyring's formula (mean of 500 Hz and 1 kHz), a rough guide \
         in a room this small.{schroeder}",
        time::decay(f64::midpoint(at_1k, at_500)),
    )
}

fn speakers(scene: &Scene, survey: &RoomSummary) -> Table {
    let columns = vec![
        Column::left("Reference point"),
        Column::right("From front"),
        Column::right("From left"),
        Column::right("From right"),
        Column::right("Up").from(ROOMY),
    ];
    let mut table = Table::new("Speakers", columns);
    for place in &survey.speakers {
        let to = |s: Surface| length::length(place.from_surfaces_m[s as usize], scene.units());
        let up = to(Surface::Floor);
        let across = [Surface::Front, Surface::Left, Surface::Right].map(|s| Cell::plain(to(s)));
        let mut cells = vec![Cell::plain(&scene[place.speaker].name)];
        cells.extend(across);
        cells.push(Cell::plain(&up).or_under(format!("{up} up")));
        table.row(cells);
    }
    table
}

fn base(pair: &PairSymmetry, units: Units) -> String {
    let place = if pair.off_mirror_m < NEGLIGIBLE_M {
        "mirrored about the centre line".to_owned()
    } else {
        format!("{} off being mirror images", length::offset(pair.off_mirror_m, units))
    };
    format!(
        "{}: {} between left and right, {place}.",
        pair.name,
        length::length(pair.base_m, units)
    )
}

fn at_seat(scene: &Scene, seat: &Seat) -> Document {
    let units = scene.units();
    let listener = &scene[seat.listener];
    let mut document = Document::default();
    document.heading(format!("At {}", listener.name));
    let centre = if seat.off_centre_m.abs() < NEGLIGIBLE_M {
        "on the centre line".to_owned()
    } else {
        let side = if seat.off_centre_m < 0.0 { "left" } else { "right" };
        format!("{} {side} of the centre line", length::offset(seat.off_centre_m.abs(), units))
    };
    document.note(format!(
        "{} from front wall, {} of the length; {centre}; ears {} up.",
        length::length(listener.at.x, units),
        number::percent(seat.length_fraction),
        length::length(seat.ear_height_m, units),
    ));
    let columns = vec![
        Column::left("Speaker"),
        Column::right("Distance"),
        Column::right("Off its axis").from(ROOMY_SEAT),
        Column::left("Height").from(ROOMY_SEAT),
        Column::left("Comes"),
    ];
    let mut table = Table::new(format!("Speakers at {}", listener.name), columns);
    for seen in &seat.speakers {
        let off_axis = format!("{:.0}°", seen.off_axis_deg);
        let height = height(seen.above_ears_m, units);
        table.row(vec![
            Cell::plain(&scene[seen.speaker].name),
            Cell::plain(length::length(seen.distance_m, units)),
            Cell::plain(&off_axis).or_under(format!("{off_axis} off its axis")),
            Cell::plain(&height).or_under(&height),
            Cell::plain(direction::words(seen.azimuth_deg, seen.elevation_deg)),
        ]);
    }
    document.table(table);
    for pair in &seat.pairs {
        document.note(angle(pair, units));
    }
    document
}

/// Height of a speaker against the ears.
fn height(above_ears_m: f64, units: Units) -> String {
    if above_ears_m.abs() < NEGLIGIBLE_M {
        return "at the ears".to_owned();
    }
    let way = if above_ears_m > 0.0 { "above" } else { "below" };
    format!("{} {way}", length::offset(above_ears_m.abs(), units))
}

/// The angle of a pair beside the published one, and its match.
fn angle(pair: &PairGeometry, units: Units) -> String {
    let matched = mismatch(pair.left_farther_m, pair.left_later_s, units)
        .unwrap_or_else(|| "equally far".to_owned());
    format!(
        "{}: {:.0}° between left and right (60° in ITU-R BS.775-3), {matched}.",
        pair.name, pair.base_angle_deg
    )
}
