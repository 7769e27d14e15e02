//! The lists of what changes, what vanishes and what is new.

use super::super::list::{BAND_NAMES, level};
use super::change;
use crate::content::comparison::{ComparisonView, Difference, PathChange, Row, that_became};
use crate::format::labels;
use crate::io::terminal::{ALERT, GOOD, HEADING, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented};
use anstyle::Style;
use earline_engine::analysis::compare::{QUIET_DB, is_equal};

/// FormulaComparison all single bounces, so many of the loudest are shown.
const LOUDEST_SHOWN: usize = 8;
/// So many that vanish or are new are shown.
const COMINGS_SHOWN: usize = 6;
/// From this width on, the speaker has a column of its own.
const ROOMY: usize = 84;
/// From this width on, the band that changes most does too.
const MODEST: usize = 70;

pub(super) fn lines(
    compared: &ComparisonView<'_>,
    contrast: &Difference<'_>,
    bands: bool,
    width: usize,
) -> Vec<String> {
    let rows = contrast.rows(compared);
    let of = |became: PathChange| that_became(&rows, became);
    let mut lines = Vec::new();
    let changed = of(PathChange::Changed);
    let shown = that_matter(&changed);
    if !shown.is_empty() {
        lines.push(String::new());
        lines.push(format!("{HEADING}Reflections that change{HEADING:#}"));
        lines.extend(indented(&from_and_to(compared, contrast), 2, width));
        lines.extend(table(compared, &shown, width).lines(width, QUIET));
        lines.extend(rest(changed.len() - shown.len(), "change", width));
        if bands {
            lines.push(String::new());
            lines.extend(indented("Change in dB in the octave bands, Hz:", 2, width));
            lines.extend(band_table(&shown).lines(width, QUIET));
        }
    }
    let headed =
        [(PathChange::Vanished, "Reflections that vanish"), (PathChange::New, "New reflections")];
    for (became, heading) in headed {
        let mut these = of(became);
        let all = these.len();
        loudest_first(&mut these);
        these.truncate(COMINGS_SHOWN);
        these.sort_by_key(|row| row.number);
        if !these.is_empty() {
            lines.push(String::new());
            lines.push(format!("{HEADING}{heading}{HEADING:#}"));
            lines.extend(comings(compared, &these, width).lines(width, QUIET));
            let verb = if became == PathChange::New { "are new" } else { "vanish" };
            lines.extend(rest(all - these.len(), verb, width));
        }
    }
    let quiet =
        rows.iter().filter(|row| row.became() != PathChange::Equal && row.is_quiet()).count();
    if quiet > 0 {
        let text = format!(
            "{quiet} more that change, vanish or are new stay under {QUIET_DB:.0} dB and are left \
             to comparison.csv."
        );
        lines.push(String::new());
        lines.extend(indented(&text, 2, width));
    }
    lines
}

/// All single bounces, and the loudest of the rest.
pub(crate) fn that_matter<'a>(changed: &[Row<'a>]) -> Vec<Row<'a>> {
    let mut rest: Vec<Row<'a>> = changed.iter().filter(|row| row.order() != 1).copied().collect();
    loudest_first(&mut rest);
    rest.truncate(LOUDEST_SHOWN);
    rest.extend(changed.iter().filter(|row| row.order() == 1));
    rest.sort_by_key(|row| row.number);
    rest
}

fn loudest_first(rows: &mut [Row<'_>]) {
    rows.sort_by(|a, b| b.louder_db().total_cmp(&a.louder_db()).then(a.number.cmp(&b.number)));
}

fn from_and_to(compared: &ComparisonView<'_>, contrast: &Difference<'_>) -> String {
    let [first, second] = compared.both(contrast).map(|seen| &seen.at.name);
    format!(
        "Levels against the direct sound of the same speaker over 1 to 8 kHz, from {first} to \
         {second}; beside it the octave band that changes most."
    )
}

fn rest(count: usize, verb: &str, width: usize) -> Vec<String> {
    if count == 0 {
        return Vec::new();
    }
    indented(&format!("{count} weaker ones that {verb} are in comparison.csv."), 2, width)
}

fn table(compared: &ComparisonView<'_>, rows: &[Row<'_>], width: usize) -> Table {
    let mut heads = vec![("No", Lean::Right)];
    if ROOMY <= width {
        heads.push(("Speaker", Lean::Left));
    }
    heads.extend([("From", Lean::Right), ("To", Lean::Right), ("Change", Lean::Right)]);
    if MODEST <= width {
        heads.push(("Most in a band", Lean::Left));
    }
    heads.push(("Hits", Lean::Left));
    let mut table = Table::new(heads);
    for row in rows {
        let Some(matched) = row.matched else { continue };
        let speaker = &compared.scene.speakers()[row.speaker].name;
        let mut cells = vec![Cell::plain(row.number.to_string())];
        if ROOMY <= width {
            cells.push(Cell::plain(speaker));
        }
        let side = |r: Option<&earline_engine::image_source::Reflection>| {
            Cell::plain(r.map_or_else(String::new, |r| level(r.level_db)))
        };
        let most = matched.largest_band_change().map_or_else(String::new, |(band, db)| {
            format!("{} at {}", change(db), BAND_NAMES[band])
        });
        cells.extend([
            side(row.first),
            side(row.second),
            Cell::styled(change(matched.change_db), style(matched.change_db)),
        ]);
        let mut under = if ROOMY <= width { Vec::new() } else { vec![speaker.clone()] };
        if MODEST <= width {
            cells.push(Cell::plain(most));
        } else if !most.is_empty() {
            under = vec![format!("{speaker}, most in a band: {most}")];
        }
        cells.push(Cell::plain(hits(compared, row)));
        table.row(cells, under);
    }
    table
}

/// What is hit, and what with it in the second state where that is another thing on the surface.
pub(crate) fn hits(compared: &ComparisonView<'_>, row: &Row<'_>) -> String {
    let spoken = |r: &earline_engine::image_source::Reflection| {
        labels::spoken_path(compared.scene, &r.arrival.bounces)
    };
    match (row.first.map(spoken), row.second.map(spoken)) {
        (Some(first), Some(second)) if first != second => format!("{first} → {second}"),
        (first, second) => first.or(second).unwrap_or_default(),
    }
}

fn style(change_db: f64) -> Style {
    if is_equal(change_db) {
        QUIET
    } else if change_db < 0.0 {
        GOOD
    } else {
        ALERT
    }
}

fn band_table(rows: &[Row<'_>]) -> Table {
    let mut heads = vec![("No", Lean::Right)];
    heads.extend(BAND_NAMES.map(|name| (name, Lean::Right)));
    let mut table = Table::new(heads);
    for row in rows {
        let Some(matched) = row.matched else { continue };
        let mut cells = vec![Cell::plain(row.number.to_string())];
        cells.extend(matched.band_change_db.map(|db| {
            if is_equal(db) {
                Cell::styled("equal", QUIET)
            } else if db.is_finite() {
                Cell::plain(crate::format::level::difference(db))
            } else {
                Cell::plain("silent")
            }
        }));
        table.row(cells, Vec::new());
    }
    table
}

/// Reflections that are only in one of the two.
fn comings(compared: &ComparisonView<'_>, rows: &[Row<'_>], width: usize) -> Table {
    let mut heads = vec![("No", Lean::Right)];
    if ROOMY <= width {
        heads.push(("Speaker", Lean::Left));
    }
    heads.extend([("After", Lean::Right), ("Level", Lean::Right), ("Hits", Lean::Left)]);
    let mut table = Table::new(heads);
    for row in rows {
        let Some(reflection) = row.any() else { continue };
        let speaker = &compared.scene.speakers()[row.speaker].name;
        let mut cells = vec![Cell::plain(row.number.to_string())];
        if ROOMY <= width {
            cells.push(Cell::plain(speaker));
        }
        cells.extend([
            Cell::plain(format!("{:.2} ms", reflection.delay_s * 1e3)),
            Cell::plain(level(reflection.level_db)),
            Cell::plain(hits(compared, row)),
        ]);
        let under = if ROOMY <= width { Vec::new() } else { vec![speaker.clone()] };
        table.row(cells, under);
    }
    table
}
