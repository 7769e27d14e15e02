//! The setting-out sheet on one screen: what is off and how far to move it, then every mark.

mod judge;

use super::SettingOutSheet;
use super::document::{TOO_HIGH_OR_LOW, head, into_apex};
use crate::content::document::{Cell, Column, Document, Table};
use crate::content::placement_tolerance::document::evenest;
use crate::content::placement_tolerance::result::PairHeights;
use crate::format::number::MISSING;
use crate::format::sentence::capital;
use earline_engine::analysis::setting_out::{MarkTarget, PairAtSeat, PairLayout, ToeIn};
use earline_engine::analysis::tolerance::Tolerance;
use earline_engine::explore::height::HeightRule;

/// So many things to move; more at once teaches nothing.
const MOST_TO_TRY: usize = 3;

/// What a person with a tape needs first.
pub(crate) fn brief(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = head(sheet);
    document.pause().verdict(judge::findings(sheet));
    document.append(try_first(sheet));
    document.heading("Marks").widths(
        [[true, true], [true, false], [false, false]]
            .map(|[has_names, has_right_corner]| mark_table(sheet, has_names, has_right_corner)),
    );
    document.heading("Check and turn").list(checks(sheet).into_iter().chain(turns(sheet)));
    document.append(leeway(sheet));
    document.heading("Take care").caution(CARE.map(str::to_owned));
    document.pause().paragraph(CLOSING);
    document
}

/// The cautions of the sheet in short.
const CARE: [&str; 2] = [
    "Lift cabinets with two people, onto stands already in place. Stands tip: weigh the foot down or \
     strap it, cables out of the way.",
    "Keep fans, heaters and doors clear, and children and pets away.",
];

const CLOSING: &str = "A starting point to experiment from: set it out, listen, move one thing at a time. \
                       `--full` shows the order of the marks, every seat, heights and tolerances.";

/// What to move, and how far.
fn try_first(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    document.heading("Try first");
    let pairs = sheet.out.pairs.iter().filter_map(|pair| close(sheet, pair));
    let mut points: Vec<String> = pairs.chain(heights(sheet)).collect();
    points.truncate(MOST_TO_TRY);
    if points.is_empty() {
        document.note("Nothing to move: set out the marks below and check them.");
    }
    document.numbered(points);
    document
}

/// A move that closes the triangle of a pair at the seat that is nearest to it.
fn close(sheet: &SettingOutSheet<'_>, pair: &PairLayout) -> Option<String> {
    let seat = judge::nearest_seat(pair)?;
    let [is_closed, matches] = [judge::is_closed(sheet, seat), judge::matches(sheet, seat)];
    if is_closed && matches {
        return None;
    }
    let at = format!("{} at {}", pair.name, sheet.listener(seat.listener));
    let Some(way) = into_apex(sheet, seat) else {
        return Some(format!("{at}: raise or lower the speakers. {TOO_HIGH_OR_LOW}"));
    };
    let angle = format!("60° instead of {:.1}°", seat.base_angle_deg);
    Some(match (is_closed, matches) {
        (false, true) => {
            format!("{at}: {way} for {angle}{}.", or_move_the_pair(sheet, pair, seat))
        }
        (false, false) => format!("{at}: {way}. Left and right then match, and it is {angle}."),
        (true, _) => format!("{at}: {way}. Left and right then match."),
    })
}

/// The other way to 60°: the speakers as far from each other as each is from the seat.
fn or_move_the_pair(sheet: &SettingOutSheet<'_>, pair: &PairLayout, seat: &PairAtSeat) -> String {
    let [side_m, _] = seat.to_ears_m;
    format!(
        "; or set the two {} apart instead of {}, as far from {} as now",
        sheet.mark(side_m),
        sheet.mark(pair.base_m),
        sheet.listener(seat.listener),
    )
}

/// Heights that serve seated and standing listeners of the scene better than those of now.
fn heights(sheet: &SettingOutSheet<'_>) -> Vec<String> {
    let of_pair = |pair: &PairHeights| {
        // Nobody of the scene stands there where one of the two heights is published only.
        if pair.found.ears.iter().any(|ears| ears.listener.is_none()) {
            return None;
        }
        let (found, _) = pair.evenest(sheet.care.seated_share)?;
        if found.choice.set_at == HeightRule::AsItStands {
            return None;
        }
        let name = &sheet.out.pairs.get(pair.pair)?.name;
        let [left, right] = found.choice.up_m.map(|metres| sheet.mark(metres));
        let up = if left == right { left } else { format!("{left} and {right}") };
        Some(format!("Set the reference points of {name} {up} up. {}", evenest(sheet, pair)))
    };
    sheet.care.heights.iter().filter_map(of_pair).collect()
}

/// The marks with the diagonals that check them.
fn mark_table(sheet: &SettingOutSheet<'_>, has_names: bool, has_right_corner: bool) -> Table {
    let mut heads = vec![
        Column::left("Mark"),
        Column::right("From front"),
        Column::right("From left"),
        Column::right("Up"),
        Column::right("Left corner"),
    ];
    heads.extend(has_right_corner.then_some(Column::right("Right corner")));
    heads.extend(has_names.then_some(Column::left("For")));
    let mut table = Table::new("Marks", heads);
    for (index, mark) in sheet.out.marks.iter().enumerate() {
        let mut lengths = vec![mark.from_front_m, mark.from_left_m, mark.up_m, mark.left_corner_m];
        lengths.extend(has_right_corner.then_some(mark.right_corner_m));
        let mut cells = vec![Cell::plain(sheet.letter(index))];
        cells.extend(lengths.into_iter().map(|metres| Cell::plain(sheet.mark(metres))));
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

/// Lengths to check the marks with.
fn checks(sheet: &SettingOutSheet<'_>) -> Vec<String> {
    let square = format!(
        "Both diagonals of the floor {}; where they differ, trust the front and the left wall. Centre \
         line {} from the left wall.",
        sheet.mark(sheet.out.floor_diagonal_m),
        sheet.mark(sheet.out.centre_line_m)
    );
    let triangle = |pair: &PairLayout| {
        let sides = pair.seats.iter().map(|seat| {
            let [left, right] = seat.to_ears_m.map(|metres| sheet.mark(metres));
            let lengths = if left == right { left } else { format!("{left} and {right}") };
            format!("to {} {lengths}", sheet.listener(seat.listener))
        });
        let sides: Vec<String> = sides.collect();
        format!("{}: left to right {}, {}.", pair.name, sheet.mark(pair.base_m), sides.join(", "))
    };
    let lone = sheet.lone_distances().into_iter().map(|reach| {
        let length = sheet.mark(reach.distance_m);
        let [from, to] = [sheet.speaker(reach.speaker), sheet.listener(reach.listener)];
        format!("{from} to {to} {length}.")
    });
    [square].into_iter().chain(sheet.out.pairs.iter().map(triangle)).chain(lone).collect()
}

/// How the cabinets are turned; those turned alike together.
fn turns(sheet: &SettingOutSheet<'_>) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for turn in &sheet.out.turns {
        let (how, name) = (turned(sheet, turn), sheet.speaker(turn.speaker));
        match groups.iter_mut().find(|(known, _)| *known == how) {
            Some((_, names)) => names.push(name),
            None => groups.push((how, vec![name])),
        }
    }
    groups.into_iter().map(|(how, names)| format!("{}: {how}.", names.join(", "))).collect()
}

fn turned(sheet: &SettingOutSheet<'_>, turn: &ToeIn) -> String {
    let angle = SettingOutSheet::turn(turn.toe_in_deg);
    let tilt = SettingOutSheet::tilt(turn).map_or_else(String::new, |tilt| format!(", {tilt}"));
    let edges = sheet.edges(turn.front_edges_m);
    if edges == MISSING || angle == "straight" {
        return format!("toe-in {angle}{tilt}");
    }
    let far = if turn.toe_in_deg < 0.0 { "inner" } else { "outer" };
    let near = if turn.toe_in_deg < 0.0 { "outer" } else { "inner" };
    format!(
        "toe-in {angle}{tilt}, {far} front edge {edges} farther from the front wall than the {near} one"
    )
}

/// The tightest tolerance of speakers and of seats.
fn leeway(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    let is_seat = |tolerance: &&Tolerance| matches!(tolerance.of, MarkTarget::Listener(_));
    let all = &sheet.care.tolerances;
    let [seats, speakers]: [Vec<&Tolerance>; 2] =
        [all.iter().filter(is_seat).collect(), all.iter().filter(|t| !is_seat(t)).collect()];
    let named = [("speakers", speakers), ("seats", seats)].map(|(what, of)| {
        let ways = ["to and fro", "aside", "up and down"].into_iter().enumerate();
        let ways = ways.filter_map(|(way, word)| {
            let axes = of.iter().filter_map(|tolerance| tolerance.axes.get(way));
            let least = axes.min_by(|a, b| a.allowed_m.total_cmp(&b.allowed_m))?;
            Some(format!("{} {word}", sheet.leeway(least)))
        });
        let ways: Vec<String> = ways.collect();
        (!ways.is_empty()).then(|| format!("{what} {}", ways.join(", ")))
    });
    let named: Vec<String> = named.into_iter().flatten().collect();
    if !named.is_empty() {
        document
            .heading("How far a mark may be off")
            .note(format!("{}, before a figure changes noticeably.", capital(&named.join("; "))));
    }
    document
}
