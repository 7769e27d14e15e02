//! The setting-out sheet in words, for two people and a tape.

use super::{heading, set_out_care, title};
use crate::content::setting_out::{CAUTIONS, Setting, image};
use crate::format::length;
use crate::io::terminal::QUIET;
use crate::render::columns::{Cell, Lean, Table, indented, item, paragraph};
use earline_engine::analysis::setting_out::{PairAtSeat, PairLayout};
use earline_engine::scene::Units;

/// The whole answer, every line within `width`.
pub(crate) fn text(setting: &Setting<'_>, width: usize) -> String {
    let mut lines = title(setting.scene, setting.state, width);
    let unit = match setting.units {
        Units::Metric => "millimetres",
        Units::Imperial => "feet, inches and eighths",
    };
    lines.extend(paragraph(&format!("Setting out with a tape, in {unit}."), width));
    lines.extend(first(setting, width));
    lines.extend(marks(setting, width));
    lines.extend(diagonals(setting, width));
    for pair in &setting.out.pairs {
        lines.extend(pair_lines(setting, pair, width));
    }
    lines.extend(between_pairs(setting, width));
    lines.extend(lone_speakers(setting, width));
    lines.extend(turns(setting, width));
    lines.extend(set_out_care::heights(setting, width));
    lines.extend(set_out_care::tolerances(setting, width));
    lines.extend(heading("Take care"));
    lines.extend(CAUTIONS.iter().flat_map(|text| item("  - ", text, width)));
    lines.push(String::new());
    lines.join("\n")
}

/// What to do before the first mark, and which that is.
fn first(setting: &Setting<'_>, width: usize) -> Vec<String> {
    let out = setting.out;
    let mut lines: Vec<String> = heading("Before the first mark").into();
    let square = format!(
        "Measure both diagonals of the floor: each is {} in a room that is square at its corners. \
         Where they differ, measure from front and left wall and let the rest be a check.",
        setting.mark(out.floor_diagonal_m)
    );
    lines.extend(item("  1. ", &square, width));
    let centre = format!(
        "Mark {} from the left wall at the front wall and at the back wall, and stretch a string \
         between the two: the centre line.",
        setting.mark(out.centre_line_m)
    );
    lines.extend(item("  2. ", &centre, width));
    if let Some(mark) = out.marks.first() {
        let name = setting.name(mark.of);
        let begin = format!(
            "Make mark A first: {name}, {} from the front wall. Everything else is checked against \
             it. Drop a plumb line from each point to its cross on the floor.",
            setting.mark(mark.from_front_m)
        );
        lines.extend(item("  3. ", &begin, width));
    }
    lines
}

fn marks(setting: &Setting<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("Marks").into();
    let roomy = mark_table(setting, true);
    let table = if roomy.width() <= width { roomy } else { mark_table(setting, false) };
    lines.extend(table.lines(width, QUIET));
    if let Some(up_m) = setting.out.half_way_up_m {
        let text = format!(
            "Half-way between the lowest and the highest ears is {} up.",
            setting.mark(up_m)
        );
        lines.extend(indented(&text, 2, width));
    }
    lines
}

/// The marks with what each is for: in a column of its own, or above the row.
fn mark_table(setting: &Setting<'_>, has_names: bool) -> Table {
    let mut heads = vec![
        ("Mark", Lean::Left),
        ("From front", Lean::Right),
        ("From left", Lean::Right),
        ("Up", Lean::Right),
    ];
    heads.extend(has_names.then_some(("For", Lean::Left)));
    let mut table = Table::new(heads);
    for (index, mark) in setting.out.marks.iter().enumerate() {
        let lengths = [mark.from_front_m, mark.from_left_m, mark.up_m];
        let mut cells = vec![Cell::plain(setting.letter(index))];
        cells.extend(lengths.map(|metres| Cell::plain(setting.mark(metres))));
        let name = setting.name(mark.of);
        if has_names {
            cells.push(Cell::plain(name));
            table.row(cells, Vec::new());
        } else {
            table.row_under(name, cells, Vec::new());
        }
    }
    table
}

fn diagonals(setting: &Setting<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("To check with, on the floor").into();
    let roomy = diagonal_table(setting, true);
    let table = if roomy.width() <= width { roomy } else { diagonal_table(setting, false) };
    lines.extend(table.lines(width, QUIET));
    let text = "Left and right corner are those at the front wall.";
    lines.extend(indented(text, 2, width));
    lines
}

fn diagonal_table(setting: &Setting<'_>, has_right: bool) -> Table {
    let mut heads =
        vec![("Mark", Lean::Left), ("Left corner", Lean::Right), ("Right corner", Lean::Right)];
    heads.extend(has_right.then_some(("Right wall", Lean::Right)));
    heads.push(("Centre line", Lean::Left));
    let mut table = Table::new(heads);
    for (letter, mark) in setting.crosses() {
        let mut cells = vec![Cell::plain(letter)];
        let corners = [mark.left_corner_m, mark.right_corner_m];
        cells.extend(corners.map(|metres| Cell::plain(setting.mark(metres))));
        cells.extend(has_right.then(|| Cell::plain(setting.mark(mark.from_right_m))));
        cells.push(Cell::plain(setting.off_centre(mark)));
        table.row(cells, Vec::new());
    }
    table
}

/// A pair: its triangle at every seat, how left and right match there, and where to lean.
fn pair_lines(setting: &Setting<'_>, pair: &PairLayout, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading(&format!("Triangle of {}", pair.name)).into();
    let base = format!(
        "Left to right {}, reference point to reference point. The other two sides, to the middle of \
         the head, and how much longer they are than that:",
        setting.mark(pair.base_m)
    );
    lines.extend(indented(&base, 2, width));
    let roomy = side_table(setting, pair, true);
    let table = if roomy.width() <= width { roomy } else { side_table(setting, pair, false) };
    lines.extend(table.lines(width, QUIET));
    for seat in &pair.seats {
        lines.extend(item("  ", &at_seat(setting, seat), width));
    }
    lines
}

/// The sides to every seat, with how much longer they are than the base in columns of their own or
/// under the row.
fn side_table(setting: &Setting<'_>, pair: &PairLayout, has_errors: bool) -> Table {
    let mut heads = Vec::new();
    for side in ["Left", "Right"] {
        heads.push((side, Lean::Right));
        heads.extend(has_errors.then_some(("Longer by", Lean::Right)));
    }
    heads.extend([("Angle", Lean::Right), ("To", Lean::Left)]);
    let mut table = Table::new(heads);
    for seat in &pair.seats {
        let errors = seat.error_m.map(|error_m| length::difference(error_m, setting.units));
        let mut cells = Vec::new();
        for (side_m, error) in seat.to_ears_m.into_iter().zip(&errors) {
            cells.push(Cell::plain(setting.mark(side_m)));
            cells.extend(has_errors.then(|| Cell::plain(error)));
        }
        cells.push(Cell::plain(format!("{:.1}°", seat.base_angle_deg)));
        cells.push(Cell::plain(setting.listener(seat.listener)));
        let [left, right] = errors;
        let under = (!has_errors).then(|| format!("longer by {left} and {right}"));
        table.row(cells, under.into_iter().collect());
    }
    table
}

fn at_seat(setting: &Setting<'_>, seat: &PairAtSeat) -> String {
    let name = setting.listener(seat.listener);
    let on_floor = seat.to_cross_m.map(|metres| setting.mark(metres));
    let [left, right] = on_floor;
    let floor = if left == right {
        format!("on the floor both are {left}")
    } else {
        format!("on the floor {left} and {right}")
    };
    let match_ = match setting.differ(&seat.mismatch) {
        None => "left and right are alike to the tape".to_owned(),
        Some(differ) => format!("{differ}: {}", image(&seat.mismatch)),
    };
    let comb = seat.mismatch.first_dip_hz().filter(|_| setting.differ(&seat.mismatch).is_some());
    let comb = comb.map_or_else(String::new, |hz| {
        format!("; what both play alike dips first near {}", frequency(hz))
    });
    format!(
        "{name}: {floor}; {match_}{comb}. {}{}",
        leaning(setting, seat),
        crossing(setting, seat)
    )
}

fn leaning(setting: &Setting<'_>, seat: &PairAtSeat) -> String {
    match (setting.lean(seat), seat.lean) {
        (Some(way), Some(lean)) if !way.is_empty() => {
            let reach = if lean.is_within_reach() {
                "leaning"
            } else {
                "moving the chair, for it is farther than one leans,"
            };
            format!("The triangle closes on {reach} {way}.")
        }
        (Some(_), Some(_)) => "The triangle closes at these ears.".to_owned(),
        _ => "These ears are too far above or below for the triangle to close.".to_owned(),
    }
}

fn crossing(setting: &Setting<'_>, seat: &PairAtSeat) -> String {
    let Some(behind_m) = seat.axes_cross_behind_m else {
        return " The speakers' axes do not cross.".to_owned();
    };
    if behind_m.abs() < 0.005 {
        return " VariantAtSeat from above, the speakers' axes cross at the ears.".to_owned();
    }
    let way = if behind_m < 0.0 { "before" } else { "behind" };
    let far = length::offset(behind_m.abs(), setting.units);
    format!(" VariantAtSeat from above, the speakers' axes cross {far} {way} the ears.")
}

/// Hertz, or kilohertz from a thousand up, to two figures.
fn frequency(hz: f64) -> String {
    if hz < 1000.0 {
        format!("{:.0} Hz", (hz / 10.0).round() * 10.0)
    } else {
        format!("{:.1} kHz", hz / 1000.0)
    }
}

/// What differs between pairs that share a seat.
fn between_pairs(setting: &Setting<'_>, width: usize) -> Vec<String> {
    if setting.out.contrasts.is_empty() {
        return Vec::new();
    }
    let mut lines: Vec<String> = heading("Between the pairs").into();
    let contrasts = setting.out.contrasts.iter();
    lines.extend(contrasts.flat_map(|found| item("  ", &setting.contrast(found), width)));
    lines
}

/// Distances of speakers that belong to no pair.
fn lone_speakers(setting: &Setting<'_>, width: usize) -> Vec<String> {
    let paired = |speaker: usize| {
        setting.out.pairs.iter().any(|pair| pair.left == speaker || pair.right == speaker)
    };
    let lone: Vec<_> =
        setting.out.check_distances.iter().filter(|reach| !paired(reach.speaker)).collect();
    if lone.is_empty() {
        return Vec::new();
    }
    let mut lines: Vec<String> = heading("Speakers without a partner").into();
    let mut table = Table::new(vec![
        ("Distance", Lean::Right),
        ("On the floor", Lean::Right),
        ("From and to", Lean::Left),
    ]);
    for reach in lone {
        let ends =
            format!("{} to {}", setting.speaker(reach.speaker), setting.listener(reach.listener));
        let lengths = [reach.distance_m, reach.floor_m].map(|m| Cell::plain(setting.mark(m)));
        table.row(lengths.into_iter().chain([Cell::plain(ends)]).collect(), Vec::new());
    }
    lines.extend(table.lines(width, QUIET));
    lines
}

fn turns(setting: &Setting<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("Turning the cabinets").into();
    let mut table = Table::new(vec![
        ("Toe-in", Lean::Right),
        ("Front edges", Lean::Right),
        ("Side edges", Lean::Right),
        ("Speaker", Lean::Left),
    ]);
    for turn in &setting.out.turns {
        let name = setting.speaker(turn.speaker);
        let named =
            Setting::tilt(turn).map_or_else(|| name.to_owned(), |tilt| format!("{name}, {tilt}"));
        table.row(
            vec![
                Cell::plain(Setting::turn(turn.toe_in_deg)),
                Cell::plain(setting.edges(turn.front_edges_m)),
                Cell::plain(setting.edges(turn.side_edges_m)),
                Cell::plain(named),
            ],
            Vec::new(),
        );
    }
    lines.extend(table.lines(width, QUIET));
    let how = "Turned in, a cabinet's outer front edge is farther from the front wall than its inner \
               one by \u{201c}front edges\u{201d}, and the back edge of a side nearer to the side wall \
               than the front edge by \u{201c}side edges\u{201d}.";
    lines.extend(indented(how, 2, width));
    lines
}
