//! The lists of reflections that change, vanish or are new.

use super::row::change;
use super::{ComparedPath, ComparisonView, Difference, PathChange, with_change};
use crate::content::document::{Cell, Column, Document, Table, Tone};
use crate::format::frequency::BAND_NAMES;
use crate::format::number::fixed;
use crate::format::{labels, level, time};
use earline_engine::analysis::compare::{QUIET_DB, is_equal};
use earline_engine::image_source::Reflection;

/// Beside all single bounces, so many of the loudest are shown.
const LOUDEST_SHOWN: usize = 8;
/// So many that vanish or are new are shown.
const COMINGS_SHOWN: usize = 6;
/// From this width on, the speaker has a column of its own.
const ROOMY: usize = 84;
/// From this width on, the band that changes most does too.
const MODEST: usize = 70;

/// The lists of one difference; with `bands` the change in every octave band.
pub(super) fn document(
    view: &ComparisonView<'_>,
    difference: &Difference<'_>,
    bands: bool,
) -> Document {
    let rows = difference.rows(view);
    let mut document = Document::default();
    let changed = with_change(&rows, PathChange::Changed);
    let shown = that_matter(&changed);
    if !shown.is_empty() {
        document.heading("Reflections that change").note(from_and_to(view, difference));
        document.table(table(view, &shown));
        document.append(rest(changed.len() - shown.len(), "change"));
        if bands {
            document
                .pause()
                .note("Change in dB in the octave bands, Hz:")
                .table(band_table(&shown));
        }
    }
    let headed = [
        (PathChange::Vanished, "Reflections that vanish", "vanish"),
        (PathChange::New, "New reflections", "are new"),
    ];
    for (path_change, heading, verb) in headed {
        let mut these = with_change(&rows, path_change);
        let all = these.len();
        loudest_first(&mut these);
        these.truncate(COMINGS_SHOWN);
        these.sort_by_key(|row| row.number);
        if !these.is_empty() {
            document.heading(heading).table(comings(view, heading, &these));
            document.append(rest(all - these.len(), verb));
        }
    }
    let is_left_out = |row: &&ComparedPath<'_>| row.change() != PathChange::Equal && row.is_quiet();
    let quiet = rows.iter().filter(is_left_out).count();
    if quiet > 0 {
        document.pause().note(format!(
            "{quiet} more that change, vanish or are new stay under {} dB and are left to comparison.csv.",
            fixed(QUIET_DB, 0)
        ));
    }
    document
}

/// The paths that change most; `None` where none does.
pub(crate) fn most_changed(
    view: &ComparisonView<'_>,
    difference: &Difference<'_>,
) -> Option<Table> {
    let rows = difference.rows(view);
    let shown = that_matter(&with_change(&rows, PathChange::Changed));
    (!shown.is_empty()).then(|| table(view, &shown))
}

/// All single bounces, and the loudest of the rest.
fn that_matter<'a>(changed: &[ComparedPath<'a>]) -> Vec<ComparedPath<'a>> {
    let mut rest: Vec<ComparedPath<'a>> =
        changed.iter().filter(|row| row.order() != 1).copied().collect();
    loudest_first(&mut rest);
    rest.truncate(LOUDEST_SHOWN);
    rest.extend(changed.iter().filter(|row| row.order() == 1));
    rest.sort_by_key(|row| row.number);
    rest
}

fn loudest_first(rows: &mut [ComparedPath<'_>]) {
    rows.sort_by(|a, b| b.louder_db().total_cmp(&a.louder_db()).then(a.number.cmp(&b.number)));
}

fn from_and_to(view: &ComparisonView<'_>, difference: &Difference<'_>) -> String {
    let [first, second] = view.both(difference).map(|seen| &seen.at.name);
    format!(
        "Levels against the direct sound of the same speaker over 1 to 8 kHz, from {first} to \
         {second}; beside it the octave band that changes most."
    )
}

fn rest(count: usize, verb: &str) -> Document {
    let mut document = Document::default();
    if count > 0 {
        document.note(format!("{count} weaker ones that {verb} are in comparison.csv."));
    }
    document
}

fn table(view: &ComparisonView<'_>, rows: &[ComparedPath<'_>]) -> Table {
    let columns = vec![
        Column::right("No"),
        Column::left("Speaker").from(ROOMY),
        Column::right("From"),
        Column::right("To"),
        Column::right("Change"),
        Column::left("Most in a band").from(MODEST),
        Column::left("Hits"),
    ];
    let mut table = Table::new(CAPTION, columns);
    for row in rows {
        let Some(matched) = row.matched else { continue };
        let level = |r: Option<&Reflection>| {
            Cell::plain(r.map_or_else(String::new, |r| level::with_unit(r.level_db)))
        };
        let most = matched.largest_band_change().map_or_else(Cell::default, |(band, db)| {
            let most = format!("{} at {}", change(db), BAND_NAMES[band]);
            Cell::plain(&most).or_under(format!("most in a band: {most}"))
        });
        table.row(vec![
            Cell::plain(row.number.to_string()),
            speaker(view, row),
            level(row.first),
            level(row.second),
            Cell::toned(change(matched.change_db), tone(matched.change_db)),
            most,
            Cell::plain(hits(view, row)),
        ]);
    }
    table
}

/// Caption of the list of changes.
const CAPTION: &str = "Reflections that change: single bounces, and the loudest of the rest";

fn speaker(view: &ComparisonView<'_>, row: &ComparedPath<'_>) -> Cell {
    let name = &view.scene[row.speaker].name;
    Cell::plain(name).or_under(name)
}

/// What is hit, and what with it in the second state where that is another thing on the surface.
fn hits(view: &ComparisonView<'_>, row: &ComparedPath<'_>) -> String {
    let spoken = |r: &Reflection| labels::spoken_path(view.scene, &r.arrival.bounces);
    match (row.first.map(spoken), row.second.map(spoken)) {
        (Some(first), Some(second)) if first != second => format!("{first} → {second}"),
        (first, second) => first.or(second).unwrap_or_default(),
    }
}

/// The tone of a change: quieter is better.
fn tone(change_db: f64) -> Tone {
    if is_equal(change_db) {
        Tone::Quiet
    } else if change_db < 0.0 {
        Tone::Good
    } else {
        Tone::Alert
    }
}

fn band_table(rows: &[ComparedPath<'_>]) -> Table {
    let columns = [Column::right("No")].into_iter().chain(BAND_NAMES.map(Column::right));
    let mut table = Table::new("Change in the octave bands", columns.collect());
    for row in rows {
        let Some(matched) = row.matched else { continue };
        let bands = matched.band_change_db.map(|db| {
            if is_equal(db) {
                Cell::toned("equal", Tone::Quiet)
            } else if db.is_finite() {
                Cell::plain(level::difference(db))
            } else {
                Cell::plain("silent")
            }
        });
        let number = Cell::plain(row.number.to_string());
        table.row([number].into_iter().chain(bands).collect());
    }
    table
}

/// Reflections that are only in one of the two variants.
fn comings(view: &ComparisonView<'_>, caption: &str, rows: &[ComparedPath<'_>]) -> Table {
    let columns = vec![
        Column::right("No"),
        Column::left("Speaker").from(ROOMY),
        Column::right("After"),
        Column::right("Level"),
        Column::left("Hits"),
    ];
    let mut table = Table::new(caption, columns);
    for row in rows {
        let Some(reflection) = row.any() else { continue };
        table.row(vec![
            Cell::plain(row.number.to_string()),
            speaker(view, row),
            Cell::plain(time::delay(reflection.delay_s)),
            Cell::plain(level::with_unit(reflection.level_db)),
            Cell::plain(hits(view, row)),
        ]);
    }
    table
}
