//! The column of a setting-out sheet: every mark, what to check it with, how to turn the cabinets.

use crate::canvas::text_column::{Rows, TextColumn};
use crate::canvas::{Canvas, Rect};
use crate::content::placement_tolerance::result::PairHeights;
use crate::content::setting_out::{CAUTIONS, SettingOutSheet, image};
use crate::format::{length, level};
use crate::plot::sheet::lengths::with_fractions;
use earline_engine::analysis::setting_out::{PairAtSeat, PairLayout};

/// Sizes of type to try, millimetres.
const SIZES: [f64; 7] = [2.8, 2.6, 2.4, 2.25, 2.1, 1.95, 1.8];
/// Rows of a table to try at the smallest size.
const ROWS: [usize; 6] = [24, 14, 8, 5, 3, 1];

/// How much of the sheet is tried: with the smallest type, what is left out is in `tape.json`.
#[derive(Clone, Copy)]
struct ListExtent {
    size: f64,
    /// The most rows of a table.
    most: usize,
    /// Whether the heights a pair could stand at are on it.
    has_heights: bool,
}

/// Writes it as large as it fits.
pub(crate) fn write(canvas: &mut Canvas, setting: &SettingOutSheet<'_>, space: Rect) {
    let smallest = SIZES[SIZES.len() - 1];
    let whole = |has_heights: bool| {
        SIZES.into_iter().map(move |size| ListExtent { size, most: usize::MAX, has_heights })
    };
    let cut = ROWS.into_iter().map(|most| ListExtent { size: smallest, most, has_heights: false });
    let mut extents = whole(true).chain(whole(false)).chain(cut);
    let fits = |&extent: &ListExtent| all(&mut Canvas::default(), setting, space, extent);
    let least = ListExtent { size: smallest, most: 1, has_heights: false };
    all(canvas, setting, space, extents.find(fits).unwrap_or(least));
}

/// Writes all of it; whether it fits.
fn all(
    canvas: &mut Canvas,
    setting: &SettingOutSheet<'_>,
    space: Rect,
    extent: ListExtent,
) -> bool {
    let ListExtent { size, most, has_heights } = extent;
    let mut column = TextColumn::new(canvas, space, size);
    before(&mut column, setting);
    marks(&mut column, setting, most);
    check(&mut column, setting, most);
    for pair in setting.out.pairs.iter().take(most) {
        triangle(&mut column, setting, pair, most);
    }
    turns(&mut column, setting, most);
    if has_heights {
        setting.care.heights.iter().for_each(|pair| heights(&mut column, setting, pair, most));
    }
    column.heading("Take care");
    column.paragraph(&CAUTIONS.join(" "));
    column.fits()
}

fn before(column: &mut TextColumn<'_>, setting: &SettingOutSheet<'_>) {
    let out = setting.out;
    column.heading("First");
    let begin = out.marks.first().map_or_else(String::new, |mark| {
        format!(" Then mark A, {}; everything else is checked against it.", setting.name(mark.of))
    });
    column.paragraph(&with_fractions(&format!(
        "Both diagonals of the floor: {}. The centre line: {} from the left wall, a string from \
         front to back.{begin}",
        setting.mark(out.floor_diagonal_m),
        setting.mark(out.centre_line_m),
    )));
}

fn marks(column: &mut TextColumn<'_>, setting: &SettingOutSheet<'_>, most: usize) {
    column.heading("Marks, and how far each may be off");
    let heads = vec![
        ("", false),
        ("from front", true),
        ("", false),
        ("from left", true),
        ("", false),
        ("up", true),
        ("", false),
        ("for", false),
    ];
    let rows = setting.out.marks.iter().enumerate().map(|(index, mark)| {
        let mut row = vec![setting.letter(index)];
        let lengths = [mark.from_front_m, mark.from_left_m, mark.up_m];
        for (way, metres) in lengths.into_iter().enumerate() {
            row.push(length(setting, metres));
            row.push(with_fractions(&setting.leeway_of(mark, way)));
        }
        row.push(setting.name(mark.of).to_owned());
        row
    });
    column.table(&Rows { heads, rows: rows.collect() }, most, "tape.json");
    column.paragraph(&format!(
        "One mark may be off so far before a figure changes by more than {}.",
        setting.thresholds()
    ));
    if let Some(up_m) = setting.out.half_way_up_m {
        let up = length(setting, up_m);
        column.paragraph(&format!("Half-way between lowest and highest ears: {up} up."));
    }
}

fn check(column: &mut TextColumn<'_>, setting: &SettingOutSheet<'_>, most: usize) {
    column.heading("Diagonals on the floor, to check with");
    let heads = vec![
        ("", false),
        ("left front corner", true),
        ("right front corner", true),
        ("off the centre line", false),
    ];
    let rows = setting.crosses().into_iter().map(|(letter, mark)| {
        let corners = [mark.left_corner_m, mark.right_corner_m].map(|m| length(setting, m));
        let off_centre = with_fractions(&setting.off_centre(mark));
        [letter].into_iter().chain(corners).chain([off_centre]).collect()
    });
    column.table(&Rows { heads, rows: rows.collect() }, most, "tape.json");
}

fn triangle(
    column: &mut TextColumn<'_>,
    setting: &SettingOutSheet<'_>,
    pair: &PairLayout,
    most: usize,
) {
    let base = length(setting, pair.base_m);
    column.heading(&format!("Triangle of {}: base {base}", pair.name));
    let heads = vec![
        ("left", true),
        ("longer by", true),
        ("right", true),
        ("longer by", true),
        ("angle", true),
        ("to", false),
    ];
    let rows = pair.seats.iter().map(|seat| {
        let mut row = Vec::new();
        for (side_m, error_m) in seat.to_ears_m.into_iter().zip(seat.error_m) {
            row.push(length(setting, side_m));
            row.push(with_fractions(&length::difference(error_m, setting.units)));
        }
        row.push(format!("{:.1}°", seat.base_angle_deg));
        row.push(setting.listener(seat.listener).to_owned());
        row
    });
    column.table(&Rows { heads, rows: rows.collect() }, most, "tape.json");
    for seat in pair.seats.iter().take(most) {
        if let Some(words) = at_seat(setting, seat) {
            column.paragraph(&with_fractions(&words));
        }
    }
}

/// A remark on a seat, if there is one.
fn at_seat(setting: &SettingOutSheet<'_>, seat: &PairAtSeat) -> Option<String> {
    let name = setting.listener(seat.listener);
    let differ = setting.differ(&seat.mismatch);
    let differ = differ.map(|differ| format!("{differ}: {}.", image(&seat.mismatch)));
    let way = setting.lean(seat).filter(|way| !way.is_empty());
    let lean = way.map(|way| format!("To close the triangle: {way}."));
    let parts: Vec<String> = differ.into_iter().chain(lean).collect();
    (!parts.is_empty()).then(|| format!("{name}: {}", parts.join(" ")))
}

fn turns(column: &mut TextColumn<'_>, setting: &SettingOutSheet<'_>, most: usize) {
    column.heading("Turning the cabinets");
    let heads =
        vec![("toe-in", true), ("front edges", true), ("side edges", true), ("speaker", false)];
    let rows = setting.out.turns.iter().map(|turn| {
        let name = setting.speaker(turn.speaker);
        let tilt = SettingOutSheet::tilt(turn).map_or_else(String::new, |tilt| format!(", {tilt}"));
        vec![
            SettingOutSheet::turn(turn.toe_in_deg),
            with_fractions(&setting.edges(turn.front_edges_m)),
            with_fractions(&setting.edges(turn.side_edges_m)),
            format!("{name}{tilt}"),
        ]
    });
    column.table(&Rows { heads, rows: rows.collect() }, most, "tape.json");
    column.paragraph(
        "Front edges: how much farther from the front wall the outer one is. Side edges: how much \
         nearer to the side wall the back one is.",
    );
}

/// A pair at every height it could stand at, heard seated and standing.
fn heights(
    column: &mut TextColumn<'_>,
    setting: &SettingOutSheet<'_>,
    pair: &PairHeights,
    most: usize,
) {
    let name = setting.out.pairs.get(pair.pair).map_or("", |pair| pair.name.as_str());
    column.heading(&format!("Height of {name}: direct sound, dB"));
    let heads = vec![
        ("up", true),
        ("seated", true),
        ("uneven", true),
        ("standing", true),
        ("uneven", true),
        ("reference points", false),
    ];
    let rows = pair.found.choices.iter().map(|at| {
        let [left, right] = at.choice.up_m.map(|metres| length(setting, metres));
        let mut row = vec![if left == right { left } else { format!("{left}, {right}") }];
        match &at.early {
            Ok(heard) => row.extend(heard.iter().flat_map(|heard| {
                [
                    level::difference(heard.direct_level_db),
                    format!("{:.1}", heard.direct_coloration_db),
                ]
            })),
            Err(_) => row.extend(["—"; 4].map(str::to_owned)),
        }
        row.push(setting.choice(&at.choice));
        row
    });
    column.table(&Rows { heads, rows: rows.collect() }, most, "tape.json");
    column.paragraph(
        "Level over 1 to 8 kHz against straight on the axis; how uneven it is from 125 Hz to 8 kHz.",
    );
}

fn length(setting: &SettingOutSheet<'_>, metres: f64) -> String {
    with_fractions(&setting.mark(metres))
}
