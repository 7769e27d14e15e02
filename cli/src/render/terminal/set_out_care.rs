//! What heights cost and how far marks may be off, in words.

use super::heading;
use crate::content::placement_tolerance::{PairHeights, loudest, percent, tenths};
use crate::content::setting_out::Setting;
use crate::io::terminal::QUIET;
use crate::render::columns::{Cell, Lean, Table, indented, item};
use earline_engine::analysis::compare::StrongestReflection;
use earline_engine::explore::height::{EARLY_S, EarlySound, HeightResult};

/// Every pair set at every height, heard seated and standing.
pub(super) fn heights(setting: &Setting<'_>, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for pair in &setting.care.heights {
        lines.extend(of_pair(setting, pair, width));
    }
    if !lines.is_empty() {
        let explained = format!(
            "Level: direct sound over 1 to 8 kHz against straight on the axis. Colour: how uneven its \
             bands are from 125 Hz to 8 kHz (root mean square). In brackets with reflections of the \
             first {:.0} ms. Cabinets upright, but as it stands.",
            EARLY_S * 1e3
        );
        lines.extend(indented(&explained, 2, width));
    }
    lines
}

fn of_pair(setting: &Setting<'_>, pair: &PairHeights, width: usize) -> Vec<String> {
    let name = setting.out.pairs.get(pair.pair).map_or("", |pair| &pair.name);
    let mut lines: Vec<String> =
        heading(&format!("Seated and standing: the height of {name}")).into();
    let [seated, standing] = pair.found.ears.map(|ears| setting.ears(&ears));
    lines.extend(indented(&format!("Heard by {seated} and by {standing}."), 2, width));
    let tables =
        [[true, true], [false, true]].map(|[names, early]| table(setting, pair, names, early));
    let roomiest = tables.into_iter().find(|table| table.width() <= width);
    let table = roomiest.unwrap_or_else(|| table(setting, pair, false, false));
    lines.extend(table.lines(width, QUIET));
    lines.extend(item("  ", &verdict(setting, pair), width));
    lines
}

/// A row for each height, its name in a column of its own or above the row, with what reflections
/// make of it or without.
fn table(setting: &Setting<'_>, pair: &PairHeights, has_names: bool, has_early: bool) -> Table {
    let ears =
        if has_early { ["Seated: level", "Standing: level"] } else { ["Seated", "Standing"] };
    let mut heads = vec![("Up", Lean::Right)];
    heads.extend(ears.into_iter().flat_map(|head| [(head, Lean::Right), ("colour", Lean::Right)]));
    heads.extend(has_names.then_some(("Reference points", Lean::Left)));
    let mut table = Table::new(heads);
    for choice in &pair.found.choices {
        let name = setting.choice(&choice.choice);
        let mut cells = vec![Cell::plain(up(setting, choice))];
        let mut under = Vec::new();
        match &choice.early {
            Ok(heard) => {
                let all = heard.iter().flat_map(|heard| figures(heard, has_early));
                cells.extend(all.map(Cell::plain));
            }
            Err(why) => {
                cells.extend(["—"; 4].map(Cell::plain));
                under.push(why.clone());
            }
        }
        if has_names {
            cells.push(Cell::plain(name));
            table.row(cells, under);
        } else {
            table.row_under(&name, cells, under);
        }
    }
    table
}

fn up(setting: &Setting<'_>, choice: &HeightResult) -> String {
    let [left, right] = choice.choice.up_m.map(|metres| setting.mark(metres));
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
    [format!("{} dB", tenths(*direct_level_db)), format!("{direct_colour_db:.1}{early} dB")]
}

fn strongest(setting: &Setting<'_>, found: &StrongestReflection) -> String {
    format!("{} ({})", loudest(setting.scene, found), setting.speaker(found.speaker))
}

fn verdict(setting: &Setting<'_>, pair: &PairHeights) -> String {
    let share = setting.care.seated_share;
    let time = format!("{} of the time seated", percent(share));
    let least = match pair.evenest(share) {
        Some((choice, db)) => format!(
            "With {time}, direct sound is coloured least {}: {db:.1} dB on the mean of both.",
            setting.choice(&choice.choice),
        ),
        None => format!("With {time}, no height is clearly better than all others."),
    };
    let stands = pair.found.choices.first().and_then(|choice| choice.early.as_ref().ok());
    let strongest =
        stands.into_iter().flatten().zip(["seated,", "standing,"]).filter_map(|(heard, who)| {
            Some(format!("{who} {}", strongest(setting, heard.strongest.as_ref()?)))
        });
    let strongest: Vec<String> = strongest.collect();
    if strongest.is_empty() {
        return least;
    }
    format!("{least} Strongest early reflections as it stands: {}.", strongest.join("; "))
}

/// How far each mark may be off.
pub(super) fn tolerances(setting: &Setting<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("How far a mark may be off").into();
    let roomy = leeway_table(setting, true);
    let table = if roomy.width() <= width { roomy } else { leeway_table(setting, false) };
    lines.extend(table.lines(width, QUIET));
    let text = format!(
        "Each mark was moved alone, both ways, and the room traced again, until a figure changed by \
         more than {}. Speakers keep their aim. Decay and bass are not among these figures.",
        setting.thresholds()
    );
    lines.extend(indented(&text, 2, width));
    lines
}

/// A row for each mark; what changes first in a column of its own or under the row.
fn leeway_table(setting: &Setting<'_>, has_words: bool) -> Table {
    let mut heads = vec![
        ("Mark", Lean::Left),
        ("To and fro", Lean::Right),
        ("Aside", Lean::Right),
        ("Up and down", Lean::Right),
    ];
    heads.push(("For", Lean::Left));
    heads.extend(has_words.then_some(("Changes first", Lean::Left)));
    let mut table = Table::new(heads);
    for tolerance in &setting.care.tolerances {
        let Some((letter, mark)) = setting.marked(tolerance) else { continue };
        let mut cells = vec![Cell::plain(letter)];
        cells.extend(tolerance.axes.iter().map(|leeway| Cell::plain(setting.leeway(leeway))));
        let words = setting.tightest(tolerance);
        cells.push(Cell::plain(setting.name(mark.of)));
        if has_words {
            cells.push(Cell::plain(words));
            table.row(cells, Vec::new());
        } else {
            table.row(cells, vec![format!("first: {words}")]);
        }
    }
    table
}
