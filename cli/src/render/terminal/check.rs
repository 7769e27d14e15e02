//! What a person reads after a check: what room this is.

use super::{ALIKE_M, side_behind, title};
use crate::export::check::RULE_SOURCE;
use crate::format::direction;
use crate::format::length;
use crate::io::terminal::{HEADING, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented, paragraph};
use earline_engine::analysis::room_summary::{
    PairGeometry, PairSymmetry, ProportionRule, RoomSummary, Seat,
};
use earline_engine::metrics::diffuse_field::DiffuseField;
use earline_engine::scene::{Scene, Surface, Units, Variant};

/// The whole answer, every line within `width`.
pub(crate) fn text(
    scene: &Scene,
    state: &Variant<'_>,
    survey: &RoomSummary,
    statistics: &DiffuseField,
    width: usize,
) -> String {
    let units = scene.units();
    let mut lines = title(scene, state, width);
    lines.extend(about(scene, survey, statistics, width));
    lines.push(String::new());
    lines.extend(speakers(scene, survey, width));
    for pair in &survey.pairs {
        lines.extend(indented(&base(pair, units), 2, width));
    }
    for seat in &survey.seats {
        lines.push(String::new());
        lines.extend(at_seat(scene, seat, width));
    }
    lines.push(String::new());
    lines.join("\n")
}

/// What room it is, a paragraph each.
pub(super) fn about(
    scene: &Scene,
    survey: &RoomSummary,
    statistics: &DiffuseField,
    width: usize,
) -> Vec<String> {
    let mut lines = room(scene, survey, width);
    lines.extend(proportions(survey, width));
    lines.extend(symmetry(survey, width));
    lines.extend(times(statistics, width));
    lines
}

fn room(scene: &Scene, survey: &RoomSummary, width: usize) -> Vec<String> {
    let units = scene.units();
    let [length, wide, high] = scene.room().size().to_array().map(|m| length::length(m, units));
    let text = format!(
        "{length} long, {wide} wide, {high} high: {} of air, {} of floor, {} of surface in all.",
        length::volume(survey.volume_m3, units),
        length::area(survey.floor_m2, units),
        length::area(survey.surface_m2, units),
    );
    paragraph(&text, width)
}

fn proportions(survey: &RoomSummary, width: usize) -> Vec<String> {
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
    let text = format!(
        "Proportions 1 : {:.2} : {:.2} (height, width, length), {verdict} ({RULE_SOURCE}). No \
         proportion saves or spoils a room by itself.",
        p.width_to_height, p.length_to_height
    );
    paragraph(&text, width)
}

fn symmetry(survey: &RoomSummary, width: usize) -> Vec<String> {
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
    let text = if odd.is_empty() {
        "Left and right mirror each other.".to_owned()
    } else {
        format!("Left and right differ: {}.", odd.join("; "))
    };
    paragraph(&text, width)
}

fn times(statistics: &DiffuseField, width: usize) -> Vec<String> {
    let mid = [4, 3].map(|band: usize| statistics.eyring_s.get(band).copied().flatten());
    let [Some(at_1k), Some(at_500)] = mid else {
        return paragraph("Hardly anything absorbs: no reverberation time can be given.", width);
    };
    let schroeder = statistics.schroeder_hz.map_or_else(String::new, |hz| {
        format!(
            " Below about {:.0} Hz single room modes rule (Schroeder frequency).",
            (hz / 10.0).round() * 10.0
        )
    });
    let text = format!(
        "Reverberation about {:.2} s by Eyring's formula (mean of 500 Hz and 1 kHz), a rough guide \
         in a room this small.{schroeder}",
        f64::midpoint(at_1k, at_500),
    );
    paragraph(&text, width)
}

/// From this width on, every figure of a speaker has a column of its own.
const ROOMY: usize = 76;

/// The same for a speaker as a seat has it.
const ROOMY_SEAT: usize = 90;

fn speakers(scene: &Scene, survey: &RoomSummary, width: usize) -> Vec<String> {
    let units = scene.units();
    let mut lines = vec![format!("{HEADING}Speakers{HEADING:#}")];
    let mut heads = vec![
        ("Reference point", Lean::Left),
        ("From front", Lean::Right),
        ("From left", Lean::Right),
        ("From right", Lean::Right),
    ];
    if ROOMY <= width {
        heads.push(("Up", Lean::Right));
    }
    let mut table = Table::new(heads);
    for place in &survey.speakers {
        let name = &scene.speakers()[place.speaker].name;
        let to = |s: Surface| length::length(place.from_surfaces_m[s as usize], units);
        let mut cells = vec![Cell::plain(name)];
        cells.extend([Surface::Front, Surface::Left, Surface::Right].map(|s| Cell::plain(to(s))));
        if ROOMY <= width {
            cells.push(Cell::plain(to(Surface::Floor)));
            table.row(cells, Vec::new());
        } else {
            table.row(cells, vec![format!("{} up", to(Surface::Floor))]);
        }
    }
    lines.extend(table.lines(width, QUIET));
    lines
}

fn base(pair: &PairSymmetry, units: Units) -> String {
    let place = if pair.off_mirror_m < ALIKE_M {
        "mirrored about the centre line".to_owned()
    } else {
        format!("{} away from mirroring each other", length::offset(pair.off_mirror_m, units))
    };
    format!(
        "{}: {} between left and right, {place}.",
        pair.name,
        length::length(pair.base_m, units)
    )
}

fn at_seat(scene: &Scene, seat: &Seat, width: usize) -> Vec<String> {
    let units = scene.units();
    let listener = &scene.listeners()[seat.listener];
    let mut lines = vec![format!("{HEADING}At {}{HEADING:#}", listener.name)];
    let centre = if seat.off_centre_m.abs() < ALIKE_M {
        "on the centre line".to_owned()
    } else {
        let side = if seat.off_centre_m < 0.0 { "left" } else { "right" };
        format!("{} {side} of the centre line", length::offset(seat.off_centre_m.abs(), units))
    };
    let place = format!(
        "{} from front wall, {:.0} % of the length; {centre}; ears {} up.",
        length::length(listener.at.x, units),
        100.0 * seat.length_fraction,
        length::length(seat.ear_height_m, units),
    );
    lines.extend(indented(&place, 2, width));
    let mut heads = vec![("Speaker", Lean::Left), ("Distance", Lean::Right)];
    if ROOMY_SEAT <= width {
        heads.extend([("Off its axis", Lean::Right), ("Height", Lean::Left)]);
    }
    heads.push(("Comes", Lean::Left));
    let mut table = Table::new(heads);
    for seen in &seat.speakers {
        let mut cells = vec![
            Cell::plain(&scene.speakers()[seen.speaker].name),
            Cell::plain(length::length(seen.distance_m, units)),
        ];
        let comes = Cell::plain(direction::words(seen.azimuth_deg, seen.elevation_deg));
        let height = height(seen.above_ears_m, units);
        if ROOMY_SEAT <= width {
            cells.push(Cell::plain(format!("{:.0}°", seen.off_axis_deg)));
            cells.extend([Cell::plain(height), comes]);
            table.row(cells, Vec::new());
        } else {
            cells.push(comes);
            table.row(cells, vec![format!("{:.0}° off its axis, {height}", seen.off_axis_deg)]);
        }
    }
    lines.extend(table.lines(width, QUIET));
    for pair in &seat.pairs {
        lines.extend(indented(&angle(pair, units), 2, width));
    }
    lines
}

/// How high a speaker is beside the ears.
fn height(above_ears_m: f64, units: Units) -> String {
    if above_ears_m.abs() < ALIKE_M {
        return "at the ears".to_owned();
    }
    let way = if above_ears_m > 0.0 { "above" } else { "below" };
    format!("{} {way}", length::offset(above_ears_m.abs(), units))
}

/// The angle of a pair beside the published one, and its match.
fn angle(pair: &PairGeometry, units: Units) -> String {
    let matched = side_behind(pair.left_farther_m, pair.left_later_s, units)
        .unwrap_or_else(|| "equally far".to_owned());
    format!(
        "{}: {:.0}° between left and right (60° in ITU-R BS.775-3), {matched}.",
        pair.name, pair.base_angle_deg
    )
}
