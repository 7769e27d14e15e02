//! The lists of reflections that change, vanish or are new.

use super::mirrored::{MirroredPath, mirrored_paths};
use super::row::change;
use super::{ComparedPath, ComparisonView, Difference, PathChange, with_change};
use crate::content::document::{Cell, Column, Document, Table, Tone};
use crate::format::frequency::BAND_NAMES;
use crate::format::number::fixed;
use crate::format::{labels, level, time};
use earline_engine::analysis::compare::{MatchedReflection, QUIET_DB, is_equal};
use earline_engine::image_source::Reflection;

/// Beside all single bounces, so many of the loudest are shown; what mirrors counts once.
const LOUDEST_SHOWN: usize = 6;
/// So many that vanish or are new are shown.
const COMINGS_SHOWN: usize = 4;
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
    let shown = that_matter(&mirrored_paths(view, difference, &changed));
    if !shown.is_empty() {
        document.heading("Reflections that change").note(from_and_to(view, difference));
        document.table(table(view, &shown));
        document.append(rest(changed.len() - paths(&shown), "change"));
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
        let all = with_change(&rows, path_change);
        let mut these = mirrored_paths(view, difference, &all);
        loudest_first(&mut these);
        these.truncate(COMINGS_SHOWN);
        these.sort_by_key(|row| row.first.number);
        if !these.is_empty() {
            document.heading(heading).table(comings(view, heading, &these));
            document.append(rest(all.len() - paths(&these), verb));
        }
    }
    let is_left_out = |row: &&ComparedPath<'_>| row.change() != PathChange::Equal && row.is_quiet();
    let quiet = rows.iter().filter(is_left_out).count();
    if quiet > 0 {
        document.pause().note(format!(
            "{quiet} more that change, vanish or are new stay under {} dB; they are in comparison.csv.",
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
    let changed = with_change(&rows, PathChange::Changed);
    let shown = that_matter(&mirrored_paths(view, difference, &changed));
    (!shown.is_empty()).then(|| table(view, &shown))
}

/// All single bounces, and the loudest of the rest.
fn that_matter<'a>(changed: &[MirroredPath<'a>]) -> Vec<MirroredPath<'a>> {
    let mut rest: Vec<MirroredPath<'a>> =
        changed.iter().filter(|row| row.first.order() != 1).copied().collect();
    loudest_first(&mut rest);
    rest.truncate(LOUDEST_SHOWN);
    rest.extend(changed.iter().filter(|row| row.first.order() == 1));
    rest.sort_by_key(|row| row.first.number);
    rest
}

/// By level to a hundredth, so that equal ones keep the order of their numbers.
fn loudest_first(rows: &mut [MirroredPath<'_>]) {
    let order = |a: &MirroredPath<'_>, b: &MirroredPath<'_>| {
        level::loudest_first(a.first.louder_db(), b.first.louder_db())
    };
    rows.sort_by(|a, b| order(a, b).then(a.first.number.cmp(&b.first.number)));
}

/// How many paths rows are.
fn paths(rows: &[MirroredPath<'_>]) -> usize {
    rows.iter().map(|row| row.each().count()).sum()
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

fn table(view: &ComparisonView<'_>, rows: &[MirroredPath<'_>]) -> Table {
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
        let Some(matched) = row.first.matched else { continue };
        let most = row.both(|path| path.matched.map_or_else(String::new, most_in_a_band));
        let folded =
            if most.is_empty() { String::new() } else { format!("most in a band: {most}") };
        table.row(vec![
            Cell::plain(row.numbers()),
            speaker(view, row),
            Cell::plain(row.both(|path| level_of(path.first))),
            Cell::plain(row.both(|path| level_of(path.second))),
            Cell::toned(row.both(change_of), tone(matched.change_db)),
            Cell::plain(most).or_under(folded),
            Cell::plain(hits(view, row)),
        ]);
    }
    table
}

/// A level in one of the states; nothing where the path is not there.
pub(super) fn level_of(reflection: Option<&Reflection>) -> String {
    reflection.map_or_else(String::new, |r| level::with_unit(r.level_db))
}

/// The change of a path that is in both states; nothing for others.
pub(super) fn change_of(path: &ComparedPath<'_>) -> String {
    path.matched.map_or_else(String::new, |matched| change(matched.change_db))
}

fn most_in_a_band(matched: &MatchedReflection) -> String {
    let most = matched.largest_band_change();
    most.map_or_else(String::new, |(band, db)| format!("{} at {}", change(db), BAND_NAMES[band]))
}

/// Caption of the list of changes.
const CAPTION: &str = "Reflections that change: single bounces, and the loudest of the rest";

fn speaker(view: &ComparisonView<'_>, row: &MirroredPath<'_>) -> Cell {
    let name = row.speaker(view);
    Cell::plain(name.clone()).or_under(name)
}

/// What is hit, and what with it in the second state where that is another thing on the surface.
fn hits(view: &ComparisonView<'_>, row: &MirroredPath<'_>) -> String {
    match [row.both(|path| spoken(view, path.first)), row.both(|path| spoken(view, path.second))] {
        [first, second] if first.is_empty() || first == second => second,
        [first, second] if second.is_empty() => first,
        [first, second] => format!("{first} → {second}"),
    }
}

/// The same of a single bounce; of a longer path what it hits in the first state where it is there.
pub(super) fn hits_in_short(view: &ComparisonView<'_>, row: &MirroredPath<'_>) -> String {
    if row.first.order() == 1 { hits(view, row) } else { row.both(|path| spoken(view, path.any())) }
}

fn spoken(view: &ComparisonView<'_>, reflection: Option<&Reflection>) -> String {
    reflection.map_or_else(String::new, |r| labels::spoken_path(view.scene, &r.arrival.bounces))
}

/// The tone of a change: quieter is better.
pub(super) fn tone(change_db: f64) -> Tone {
    if is_equal(change_db) {
        Tone::Quiet
    } else if change_db < 0.0 {
        Tone::Good
    } else {
        Tone::Alert
    }
}

fn band_table(rows: &[MirroredPath<'_>]) -> Table {
    let columns = [Column::right("No")].into_iter().chain(BAND_NAMES.map(Column::right));
    let mut table = Table::new("Change in the octave bands", columns.collect());
    for row in rows.iter().flat_map(MirroredPath::each) {
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
fn comings(view: &ComparisonView<'_>, caption: &str, rows: &[MirroredPath<'_>]) -> Table {
    let columns = vec![
        Column::right("No"),
        Column::left("Speaker").from(ROOMY),
        Column::right("After"),
        Column::right("Level"),
        Column::left("Hits"),
    ];
    let mut table = Table::new(caption, columns);
    for row in rows {
        let Some(reflection) = row.first.any() else { continue };
        table.row(vec![
            Cell::plain(row.numbers()),
            speaker(view, row),
            Cell::plain(time::delay(reflection.delay_s)),
            Cell::plain(row.both(|path| level_of(path.any()))),
            Cell::plain(hits(view, row)),
        ]);
    }
    table
}
