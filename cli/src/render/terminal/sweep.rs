//! What a sweep found, in words.

use super::heading;
use crate::io::terminal::HEADING;
use crate::render::columns::{Cell, Lean, Table as Columns, paragraph};
use crate::study::{Field, Kind, Table};
use earline_engine::explore::study::{Levels, Operation};
use std::path::Path;

/// The whole answer, every line within `width`.
pub(crate) fn text(table: &Table<'_>, title: &str, folder: &Path, width: usize) -> String {
    let mut lines = vec![format!("{HEADING}{title}{HEADING:#}"), String::new()];
    lines.extend(paragraph(&about(table), width));
    lines.extend(heading("What was varied"));
    lines.extend(factors(table, width));
    lines.extend(heading("Least and greatest"));
    lines.extend(figures(table, width));
    if let Some(refused) = refused(table) {
        lines.push(String::new());
        lines.extend(paragraph(&refused, width));
    }
    lines.push(String::new());
    let next = format!(
        "In a notebook: pandas.read_parquet(\"{}\"). The same command with --take RUN writes the scene \
         of a run, for every other command. The best of a table is a starting point to experiment from.",
        folder.join("sweep.parquet").display()
    );
    lines.extend(paragraph(&next, width));
    lines.push(String::new());
    lines.join("\n")
}

fn about(table: &Table<'_>) -> String {
    let (runs, rows) = (table.runs.len(), table.keys.len());
    let design = match table.design.draws() {
        None => "every combination of".to_owned(),
        Some((_, seed)) => format!("spread evenly over all ranges (seed {seed}), of"),
    };
    let each = if rows == 1 { "one row each".to_owned() } else { format!("{rows} rows each") };
    format!("{runs} runs, {design} what is varied below; {each}.")
}

fn factors(table: &Table<'_>, width: usize) -> Vec<String> {
    let heads = vec![("number of the scene", Lean::Left), ("its values", Lean::Left)];
    let mut columns = Columns::new(heads);
    for factor in table.design.factors() {
        let values = match &factor.levels {
            Levels::Between(from, to) => format!("anything from {from} to {to}"),
            Levels::Each(levels) if levels.len() <= 4 => {
                levels.iter().map(f64::to_string).collect::<Vec<_>>().join(", ")
            }
            Levels::Each(levels) => {
                let ends = levels.first().zip(levels.last());
                let ends = ends.map_or_else(String::new, |(a, b)| format!(" from {a} to {b}"));
                format!("{}{ends}", levels.len())
            }
        };
        let unit = if factor.is_length { " m" } else { "" };
        let way = match factor.operation {
            Operation::Set => "",
            Operation::Shift => ", added to what the scene has",
        };
        let cells = [factor.name.clone(), format!("{values}{unit}{way}")].map(Cell::plain);
        columns.row(cells.to_vec(), Vec::new());
    }
    columns.lines(width, HEADING)
}

/// For each column of figures its least and greatest value with the run and the row it is in.
fn figures(table: &Table<'_>, width: usize) -> Vec<String> {
    let heads = [("figure", Lean::Left), ("least", Lean::Right), ("in run", Lean::Right)];
    let more = [("greatest", Lean::Right), ("in run", Lean::Right)];
    let mut columns = Columns::new(heads.into_iter().chain(more).collect());
    let names = table.heads();
    let first = 1 + table.design.factors().len() + 3;
    let rows: Vec<Vec<Field<'_>>> = table.rows().collect();
    for (place, head) in names.iter().enumerate().skip(first) {
        if head.kind != Kind::Number {
            continue;
        }
        let found = rows.iter().filter_map(|row| match (row.first(), row.get(place)) {
            (Some(Field::Count(run)), Some(Field::Number(Some(value)))) => Some((*value, *run)),
            _ => None,
        });
        let found: Vec<(f64, usize)> = found.collect();
        // Of equals the first run.
        let by_value = |a: &&(f64, usize), b: &&(f64, usize)| a.0.total_cmp(&b.0);
        let least = found.iter().min_by(by_value);
        let greatest = found.iter().rev().max_by(by_value);
        let mut cells = vec![Cell::plain(&head.name)];
        for one in [least, greatest] {
            let (value, run) = match one {
                Some((value, run)) => (value.to_string(), run.to_string()),
                None => ("–".to_owned(), String::new()),
            };
            cells.extend([Cell::plain(value), Cell::plain(run)]);
        }
        columns.row(cells, Vec::new());
    }
    columns.lines(width, HEADING)
}

fn refused(table: &Table<'_>) -> Option<String> {
    let (count, most) = table.refused();
    let (why, share) = most?;
    let runs = if count == 1 { "1 run has".to_owned() } else { format!("{count} runs have") };
    let reason = if share == count { "because" } else { "most often because" };
    Some(format!("{runs} no figures, {reason} {why}. The table says why for each."))
}
