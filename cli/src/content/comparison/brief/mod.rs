//! A comparison on one screen: what is better or worse, what to try first, and what changes most.

mod judge;
mod to_try;

use super::changes::{change_of, hits_in_short, level_of, tone};
use super::document::subject;
use super::mirrored::{MirroredPath, mirrored_paths};
use super::{ComparedPath, ComparisonView, Difference, PathChange, summary};
use crate::content::document::{Cell, Column, Document, Table};
use crate::content::low_end;
use crate::format::level::loudest_first;
use earline_engine::analysis::compare::{EQUAL_DB, changed_energy_db, is_equal};
use earline_engine::image_source::Reflection;
use earline_engine::scene::ListenerId;

/// Rows of reflections; what mirrors is one.
const ROWS: usize = 6;
/// Names of what is put up; the rest is counted.
const NAMES: usize = 4;
/// The bass of more states than these is that of the first and the last.
const STATES_SHOWN: usize = 3;

/// The answer on one screen: of several states the verdict on each, and the rest of the last one.
pub(crate) fn brief(view: &ComparisonView<'_>) -> Document {
    let mut document = Document::default();
    document.title(view.scene.title()).paragraph(subject(view));
    let Some(last) = view.differences.last() else { return document };
    if let [only] = view.differences.as_slice() {
        document.paragraphs(summary::exchange(only, NAMES));
        document.pause().verdict(judge::findings(view, only));
    } else {
        document.paragraph(judge::first_state(view));
        document.pause().verdict(view.differences.iter().map(|d| judge::in_one(view, d)));
    }
    document.append(to_try::document(view, last));
    document.append(changes(view, last));
    document.append(bass(view));
    document.pause().paragraph(format!(
        "A starting point to experiment from: a change under {EQUAL_DB} dB counts as equal, and your ears decide. \
         `--full` shows every change, the zones and left against right."
    ));
    document
}

/// What changes most, by the energy that comes or goes.
fn changes(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Document {
    let mut document = Document::default();
    let [first, second] = view.both(difference).map(|seen| &seen.at.name);
    document.heading(format!("What changes most: {first} → {second}"));
    let all = difference.rows(view);
    let heard: Vec<ComparedPath<'_>> = all
        .iter()
        .filter(|row| row.change() != PathChange::Equal && !row.is_quiet())
        .copied()
        .collect();
    let mut rows = mirrored_paths(view, difference, &heard);
    rows.retain(|row| row.first.matched.is_none_or(|matched| !is_equal(matched.change_db)));
    rows.sort_by(|a, b| {
        let order = loudest_first(changed_db(&a.first), changed_db(&b.first));
        order.then(a.first.number.cmp(&b.first.number))
    });
    rows.truncate(ROWS);
    if rows.is_empty() {
        document.note(format!("No reflection changes by {EQUAL_DB} dB or more."));
        return document;
    }
    document.table(table(view, &rows));
    document
}

fn changed_db(path: &ComparedPath<'_>) -> f64 {
    let level_db = |reflection: Option<&Reflection>| reflection.map(|r| r.level_db);
    changed_energy_db(level_db(path.first), level_db(path.second))
}

fn table(view: &ComparisonView<'_>, rows: &[MirroredPath<'_>]) -> Table {
    let columns = vec![
        Column::right("No"),
        Column::right("From"),
        Column::right("To"),
        Column::right("Change"),
        Column::left("Reflection"),
    ];
    let mut table = Table::new("What changes most", columns);
    for row in rows {
        let level = |of: fn(&ComparedPath<'_>) -> String, missing: &str| {
            Some(row.both(of)).filter(|told| !told.is_empty()).unwrap_or_else(|| missing.to_owned())
        };
        let change_db = row.first.matched.map_or(0.0, |matched| matched.change_db);
        table.row(vec![
            Cell::plain(row.numbers()),
            Cell::plain(level(|path| level_of(path.first), "new")),
            Cell::plain(level(|path| level_of(path.second), "gone")),
            Cell::toned(row.both(change_of), tone(change_db)),
            Cell::plain(format!("{} off {}", row.speaker(view), hits_in_short(view, row))),
        ]);
    }
    table
}

/// The bass of all states, or of the first and the last.
fn bass(view: &ComparisonView<'_>) -> Document {
    let mut document = Document::default();
    let last = view.variants.len().saturating_sub(1);
    let is_shown = |index: usize| last < STATES_SHOWN || index == 0 || index == last;
    let shown = view.variants.iter().enumerate().filter(|(index, _)| is_shown(*index));
    let low_ends: Vec<_> = shown
        .filter_map(|(_, seen)| Some((seen.at.name.as_str(), seen.low_end.as_ref()?)))
        .collect();
    let seat = |id: ListenerId| view.scene[id].name.as_str();
    if let Some(table) = low_end::table(&low_ends, &seat) {
        document.heading(low_end::HEADING).table(table).note(low_end::TELLS_MORE);
    }
    document
}
