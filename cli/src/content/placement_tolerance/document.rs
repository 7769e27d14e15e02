//! What heights cost and how far marks may be off, in words.

use super::loudest;
use super::result::PairHeights;
use crate::content::document::{Cell, Column, Document, Table};
use crate::content::setting_out::SettingOutSheet;
use crate::format::level;
use crate::format::number::{self, MISSING};
use earline_engine::analysis::compare::StrongestReflection;
use earline_engine::explore::height::{EARLY_S, EarlySound, HeightResult};

/// Every pair set at every height, heard seated and standing.
pub(crate) fn heights(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    for pair in &sheet.care.heights {
        document.append(of_pair(sheet, pair));
    }
    if !sheet.care.heights.is_empty() {
        let explained = format!(
            "Level: direct sound over 1 to 8 kHz against straight on the axis. Colour: how uneven its \
             bands are from 125 Hz to 8 kHz (root mean square). In brackets with reflections of the \
             first {:.0} ms. Cabinets are upright in all rows but the first.",
            EARLY_S * 1e3
        );
        document.note(explained);
    }
    document
}

fn of_pair(sheet: &SettingOutSheet<'_>, pair: &PairHeights) -> Document {
    let mut document = Document::default();
    let name = sheet.out.pairs.get(pair.pair).map_or("", |pair| &pair.name);
    document.heading(format!("Seated and standing: the height of {name}"));
    let [seated, standing] = pair.found.ears.map(|ears| sheet.ears(&ears));
    document.note(format!("Heard by {seated} and by {standing}."));
    let widths = [[true, true], [false, true], [false, false]];
    document.widths(widths.map(|[names, early]| table(sheet, pair, names, early)));
    document.note(verdict(sheet, pair));
    document
}

/// A row for each height, its name in a column of its own or above the row, with what reflections
/// make of it or without.
fn table(
    sheet: &SettingOutSheet<'_>,
    pair: &PairHeights,
    has_names: bool,
    has_early: bool,
) -> Table {
    let ears =
        if has_early { ["Seated: level", "Standing: level"] } else { ["Seated", "Standing"] };
    let mut heads = vec![Column::right("Up")];
    heads.extend(ears.into_iter().flat_map(|head| [Column::right(head), Column::right("colour")]));
    heads.extend(has_names.then_some(Column::left("Reference points")));
    let mut table = Table::new(format!("Height of pair {}", pair.pair + 1), heads);
    for choice in &pair.found.choices {
        let name = sheet.choice(&choice.choice);
        let mut cells = vec![Cell::plain(up(sheet, choice))];
        let mut under = Vec::new();
        match &choice.early {
            Ok(heard) => {
                let all = heard.iter().flat_map(|heard| figures(heard, has_early));
                cells.extend(all.map(Cell::plain));
            }
            Err(why) => {
                cells.extend([MISSING; 4].map(Cell::plain));
                under.push(why.clone());
            }
        }
        if has_names {
            cells.push(Cell::plain(name.clone()));
        }
        let row = table.row(cells);
        if !has_names {
            row.group(name);
        }
        row.notes = under;
    }
    table
}

fn up(sheet: &SettingOutSheet<'_>, choice: &HeightResult) -> String {
    let [left, right] = choice.choice.up_m.map(|metres| sheet.mark(metres));
    if left == right { left } else { format!("{left}, {right}") }
}

fn figures(heard: &EarlySound, has_early: bool) -> [String; 2] {
    let EarlySound {
        direct_level_db,
        direct_coloration_db: direct_colour_db,
        early_coloration_db: early_colour_db,
        ..
    } = heard;
    let early = if has_early { format!(" ({early_colour_db:.1})") } else { String::new() };
    [
        format!("{} dB", level::difference(*direct_level_db)),
        format!("{direct_colour_db:.1}{early} dB"),
    ]
}

fn strongest(sheet: &SettingOutSheet<'_>, found: &StrongestReflection) -> String {
    format!("{} ({})", loudest(sheet.scene, found), sheet.speaker(found.speaker))
}

fn verdict(sheet: &SettingOutSheet<'_>, pair: &PairHeights) -> String {
    let least = evenest(sheet, pair);
    let stands = pair.found.choices.first().and_then(|choice| choice.early.as_ref().ok());
    let strongest =
        stands.into_iter().flatten().zip(["seated,", "standing,"]).filter_map(|(heard, who)| {
            Some(format!("{who} {}", strongest(sheet, heard.strongest.as_ref()?)))
        });
    let strongest: Vec<String> = strongest.collect();
    if strongest.is_empty() {
        return least;
    }
    format!("{least} Strongest early reflections as it stands: {}.", strongest.join("; "))
}

/// The height at which direct sound is most even over the time spent at both.
pub(crate) fn evenest(sheet: &SettingOutSheet<'_>, pair: &PairHeights) -> String {
    let share = sheet.care.seated_share;
    let time = format!("{} of the time seated", number::percent(share));
    match pair.evenest(share) {
        Some((choice, db)) => format!(
            "With {time}, direct sound is coloured least {}: by {db:.1} dB on average{}.",
            sheet.choice(&choice.choice),
            instead_of(pair, choice, share),
        ),
        None => format!("With {time}, no height is clearly better than all others."),
    }
}

/// What it is at the height of now, where that is another.
fn instead_of(pair: &PairHeights, best: &HeightResult, seated_share: f64) -> String {
    let stands = pair.found.choices.first().filter(|stands| stands.choice != best.choice);
    let stands_db = stands.and_then(|stands| stands.weighted_direct_db(seated_share));
    stands_db.map_or_else(String::new, |db| format!(", against {db:.1} dB as it stands"))
}

/// How far each mark may be off.
pub(crate) fn tolerances(sheet: &SettingOutSheet<'_>) -> Document {
    let mut document = Document::default();
    document.heading("How far a mark may be off");
    document.widths([true, false].map(|roomy| leeway_table(sheet, roomy)));
    let text = format!(
        "Each mark was moved alone, both ways, and the room traced again, until a figure changed by \
         more than {}. Speakers keep their aim. Decay and bass are not among these figures.",
        sheet.thresholds()
    );
    document.note(text);
    document
}

/// A row for each mark; what changes first in a column of its own or under the row.
fn leeway_table(sheet: &SettingOutSheet<'_>, has_words: bool) -> Table {
    let mut heads = vec![
        Column::left("Mark"),
        Column::right("To and fro"),
        Column::right("Aside"),
        Column::right("Up and down"),
    ];
    heads.push(Column::left("For"));
    heads.extend(has_words.then_some(Column::left("Changes first")));
    let mut table = Table::new("How far a mark may be off", heads);
    for tolerance in &sheet.care.tolerances {
        let Some((letter, mark)) = sheet.marked(tolerance) else { continue };
        let mut cells = vec![Cell::plain(letter)];
        cells.extend(tolerance.axes.iter().map(|leeway| Cell::plain(sheet.leeway(leeway))));
        let words = sheet.tightest(tolerance);
        cells.push(Cell::plain(sheet.name(mark.of)));
        if has_words {
            cells.push(Cell::plain(words));
            table.row(cells);
        } else {
            table.row(cells).note(format!("first: {words}"));
        }
    }
    table
}
