//! The setting-out sheet in words, for two people and a tape.

use super::{CAUTIONS, SettingOutSheet, image};
use crate::content::document::{Cell, Column, Document, MarkedItem, Table};
use crate::content::placement_tolerance::document as placement_tolerance;
use crate::format::sentence::capital;
use crate::format::{frequency, length};
use earline_engine::analysis::setting_out::{PairAtSeat, PairLayout};
use earline_engine::scene::Units;

/// The whole answer, every line within `width`.
pub(crate) fn document(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = head(sheet);
    document.append(first(sheet));
    document.append(distances(sheet));
    document.append(placement_tolerance::heights(sheet));
    document.append(placement_tolerance::tolerances(sheet));
    document.heading("Take care");
    document.caution(CAUTIONS.map(str::to_owned));
    document
}

/// The scene, and in what the tape is read.
pub(super) fn head(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::of_scene(sheet.scene, sheet.state);
    let unit = match sheet.units {
        Units::Metric => "millimetres",
        Units::Imperial => "feet, inches and eighths",
    };
    document.paragraph(format!("Setting out with a tape, in {unit}."));
    document
}

/// Every distance to set out and to check with.
pub(crate) fn distances(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    document.append(marks(sheet));
    document.append(diagonals(sheet));
    for pair in &sheet.out.pairs {
        document.append(triangle(sheet, pair));
    }
    document.append(between_pairs(sheet));
    document.append(lone_speakers(sheet));
    document.append(turns(sheet));
    document
}

/// What to do before the first mark, and which that is.
fn first(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    let out = sheet.out;
    document.heading("Before the first mark");
    let square = format!(
        "Measure both diagonals of the floor: each is {} in a room that is square at its corners. \
         Where they differ, measure from front and left wall and let the rest be a check.",
        sheet.mark(out.floor_diagonal_m)
    );
    let mut steps = vec![MarkedItem::new("1.", square)];
    let centre = format!(
        "Mark {} from the left wall at the front wall and at the back wall, and stretch a string \
         between the two: the centre line.",
        sheet.mark(out.centre_line_m)
    );
    steps.push(MarkedItem::new("2.", centre));
    if let Some(mark) = out.marks.first() {
        let name = sheet.name(mark.of);
        let begin = format!(
            "Make mark A first: {name}, {} from the front wall. Everything else is checked against \
             it. Drop a plumb line from each point to its cross on the floor.",
            sheet.mark(mark.from_front_m)
        );
        steps.push(MarkedItem::new("3.", begin));
    }
    document.items(steps);
    document
}

fn marks(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    document.heading("Marks");
    document.widths([true, false].map(|roomy| mark_table(sheet, roomy)));
    if let Some(up_m) = sheet.out.half_way_up_m {
        let text =
            format!("Half-way between the lowest and the highest ears is {} up.", sheet.mark(up_m));
        document.note(text);
    }
    document
}

/// The marks with what each is for: in a column of its own, or above the row.
fn mark_table(sheet: &SettingOutSheet<'_>, has_names: bool) -> Table {
    let mut heads = vec![
        Column::left("Mark"),
        Column::right("From front"),
        Column::right("From left"),
        Column::right("Up"),
    ];
    heads.extend(has_names.then_some(Column::left("For")));
    let mut table = Table::new("Marks", heads);
    for (index, mark) in sheet.out.marks.iter().enumerate() {
        let lengths = [mark.from_front_m, mark.from_left_m, mark.up_m];
        let mut cells = vec![Cell::plain(sheet.letter(index))];
        cells.extend(lengths.map(|metres| Cell::plain(sheet.mark(metres))));
        let name = sheet.name(mark.of);
        if has_names {
            cells.push(Cell::plain(name));
            table.row(cells);
        } else {
            table.row(cells).group(name);
        }
    }
    table
}

fn diagonals(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    document.heading("To check with, on the floor");
    document.widths([true, false].map(|roomy| diagonal_table(sheet, roomy)));
    let text = "Left and right corner are those at the front wall.";
    document.note(text);
    document
}

fn diagonal_table(sheet: &SettingOutSheet<'_>, has_right: bool) -> Table {
    let mut heads =
        vec![Column::left("Mark"), Column::right("Left corner"), Column::right("Right corner")];
    heads.extend(has_right.then_some(Column::right("Right wall")));
    heads.push(Column::left("Centre line"));
    let mut table = Table::new("Checks on the floor", heads);
    for (letter, mark) in sheet.crosses() {
        let mut cells = vec![Cell::plain(letter)];
        let corners = [mark.left_corner_m, mark.right_corner_m];
        cells.extend(corners.map(|metres| Cell::plain(sheet.mark(metres))));
        cells.extend(has_right.then(|| Cell::plain(sheet.mark(mark.from_right_m))));
        cells.push(Cell::plain(sheet.off_centre(mark)));
        table.row(cells);
    }
    table
}

/// A pair: its triangle at every seat, how left and right match there, and where to lean.
fn triangle(sheet: &SettingOutSheet<'_>, pair: &PairLayout) -> Document {
    let mut document = Document::default();
    document.heading(format!("Triangle of {}", pair.name));
    let base = format!(
        "Left to right {}, reference point to reference point. The other two sides, to the middle of \
         the head, and how much longer they are than that:",
        sheet.mark(pair.base_m)
    );
    document.note(base);
    document.widths([true, false].map(|roomy| side_table(sheet, pair, roomy)));
    for seat in &pair.seats {
        document.note(at_seat(sheet, seat));
    }
    document
}

/// The sides to every seat, with how much longer they are than the base in columns of their own or
/// under the row.
fn side_table(sheet: &SettingOutSheet<'_>, pair: &PairLayout, has_errors: bool) -> Table {
    let mut heads = Vec::new();
    for side in ["Left", "Right"] {
        heads.push(Column::right(side));
        heads.extend(has_errors.then_some(Column::right("Longer by")));
    }
    heads.extend([Column::right("Angle"), Column::left("To")]);
    let mut table = Table::new(format!("Triangle of {}", pair.name), heads);
    for seat in &pair.seats {
        let errors = seat.error_m.map(|error_m| length::difference(error_m, sheet.units));
        let mut cells = Vec::new();
        for (side_m, error) in seat.to_ears_m.into_iter().zip(&errors) {
            cells.push(Cell::plain(sheet.mark(side_m)));
            cells.extend(has_errors.then(|| Cell::plain(error)));
        }
        cells.push(Cell::plain(format!("{:.1}°", seat.base_angle_deg)));
        cells.push(Cell::plain(sheet.listener(seat.listener)));
        let [left, right] = errors;
        let row = table.row(cells);
        if !has_errors {
            row.note(format!("longer by {left} and {right}"));
        }
    }
    table
}

fn at_seat(sheet: &SettingOutSheet<'_>, seat: &PairAtSeat) -> String {
    let name = sheet.listener(seat.listener);
    let on_floor = seat.to_cross_m.map(|metres| sheet.mark(metres));
    let [left, right] = on_floor;
    let floor = if left == right {
        format!("on the floor both are {left}")
    } else {
        format!("on the floor {left} and {right}")
    };
    let match_ = match sheet.differ(&seat.mismatch) {
        None => "left and right match as far as a tape tells".to_owned(),
        Some(differ) => format!("{differ}: {}", image(&seat.mismatch)),
    };
    let comb = seat.mismatch.first_dip_hz().filter(|_| sheet.differ(&seat.mismatch).is_some());
    let comb = comb.map_or_else(String::new, |hz| {
        format!("; what both play together has its first dip near {}", frequency::approximate(hz))
    });
    format!("{name}: {floor}; {match_}{comb}. {}{}", leaning(sheet, seat), crossing(sheet, seat))
}

fn leaning(sheet: &SettingOutSheet<'_>, seat: &PairAtSeat) -> String {
    match (into_apex(sheet, seat), seat.lean) {
        (Some(way), Some(lean)) if lean.is_within_reach() => {
            format!("{} and the triangle closes.", capital(&way))
        }
        (Some(way), _) => {
            format!("{} and the triangle closes; that is too far to lean.", capital(&way))
        }
        (None, Some(_)) => "The triangle closes at these ears.".to_owned(),
        (None, None) => TOO_HIGH_OR_LOW.to_owned(),
    }
}

/// Why no move of the head closes a triangle.
pub(super) const TOO_HIGH_OR_LOW: &str =
    "These ears are too far above or below for the triangle to close.";

/// What to do to come into the apex of the triangle: `lean 63 mm forward`; `None` where the ears are there, or no
/// move along the floor comes there.
pub(super) fn into_apex(sheet: &SettingOutSheet<'_>, seat: &PairAtSeat) -> Option<String> {
    let way = sheet.lean(seat).filter(|way| !way.is_empty())?;
    let is_near = seat.lean.is_some_and(|lean| lean.is_within_reach());
    Some(format!("{} {way}", if is_near { "lean" } else { "move the chair" }))
}

fn crossing(sheet: &SettingOutSheet<'_>, seat: &PairAtSeat) -> String {
    let Some(behind_m) = seat.axes_cross_behind_m else {
        return " The speakers' axes do not cross.".to_owned();
    };
    if behind_m.abs() < 0.005 {
        return " Seen from above, the speakers' axes cross at the ears.".to_owned();
    }
    let way = if behind_m < 0.0 { "before" } else { "behind" };
    let far = length::offset(behind_m.abs(), sheet.units);
    format!(" Seen from above, the speakers' axes cross {far} {way} the ears.")
}

/// What differs between pairs that share a seat.
fn between_pairs(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    if sheet.out.contrasts.is_empty() {
        return document;
    }
    document.heading("Between the pairs");
    let contrasts = sheet.out.contrasts.iter();
    for found in contrasts {
        document.note(sheet.contrast(found));
    }
    document
}

/// Distances of speakers that belong to no pair.
fn lone_speakers(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    let lone = sheet.lone_distances();
    if lone.is_empty() {
        return document;
    }
    document.heading("Speakers without a partner");
    let mut table = Table::new(
        "Speakers without a partner",
        vec![Column::right("Distance"), Column::right("On the floor"), Column::left("From and to")],
    );
    for reach in lone {
        let ends =
            format!("{} to {}", sheet.speaker(reach.speaker), sheet.listener(reach.listener));
        let lengths = [reach.distance_m, reach.floor_m].map(|m| Cell::plain(sheet.mark(m)));
        table.row(lengths.into_iter().chain([Cell::plain(ends)]).collect());
    }
    document.table(table);
    document
}

fn turns(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    document.heading("Turning the cabinets");
    let mut table = Table::new(
        "Turning the cabinets",
        vec![
            Column::right("Toe-in"),
            Column::right("Front edges"),
            Column::right("Side edges"),
            Column::left("Speaker"),
        ],
    );
    for turn in &sheet.out.turns {
        let name = sheet.speaker(turn.speaker);
        let named = SettingOutSheet::tilt(turn)
            .map_or_else(|| name.to_owned(), |tilt| format!("{name}, {tilt}"));
        table.row(vec![
            Cell::plain(SettingOutSheet::turn(turn.toe_in_deg)),
            Cell::plain(sheet.edges(turn.front_edges_m)),
            Cell::plain(sheet.edges(turn.side_edges_m)),
            Cell::plain(named),
        ]);
    }
    document.table(table);
    let how = "Turned in, a cabinet's outer front edge is farther from the front wall than its inner \
               one by \u{201c}front edges\u{201d}, and the back edge of a side nearer to the side wall \
               than the front edge by \u{201c}side edges\u{201d}.";
    document.note(how);
    document
}
