//! What a sweep found, in words.

use crate::content::document::{self, Cell, Column, Document};
use crate::format::foreign;
use crate::format::number::MISSING;
use crate::study::{ColumnKind, SweepField, SweepTable};
use earline_engine::explore::study::{Levels, Operation};
use std::path::Path;

/// The whole answer, every line within `width`.
pub(crate) fn document(table: &SweepTable<'_>, title: &str, folder: &Path) -> Document {
    let mut document = Document::default();
    document.title(title).pause();
    document.paragraph(about(table));
    document.heading("What was varied");
    document.table(factors(table));
    document.heading("Least and greatest");
    document.table(figures(table));
    if let Some(refused) = refused(table) {
        document.pause();
        document.paragraph(refused);
    }
    document.pause();
    let next = format!(
        "In a notebook: pandas.read_parquet(\"{}\"). The same command with --take RUN writes the scene \
         of a run, for every other command. The best of a table is a starting point to experiment from.",
        foreign::path(folder.join("sweep.parquet"))
    );
    document.paragraph(next);
    document
}

fn about(table: &SweepTable<'_>) -> String {
    let (runs, rows) = (table.runs.len(), table.keys.len());
    let design = match table.design.draws() {
        None => "every combination of".to_owned(),
        Some((_, seed)) => format!("spread evenly over all ranges (seed {seed}), of"),
    };
    let each = if rows == 1 { "one row each".to_owned() } else { format!("{rows} rows each") };
    format!("{runs} runs, {design} what is varied below; {each}.")
}

fn factors(table: &SweepTable<'_>) -> document::Table {
    let columns = vec![Column::left("number of the scene"), Column::left("its values")];
    let mut factors = document::Table::new("Varied numbers", columns);
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
        factors.row(cells.to_vec());
    }
    factors
}

/// For each column of figures its least and greatest value with the run and the row it is in.
fn figures(table: &SweepTable<'_>) -> document::Table {
    let heads = [Column::left("figure"), Column::right("least"), Column::right("in run")];
    let more = [Column::right("greatest"), Column::right("in run")];
    let columns = heads.into_iter().chain(more).collect();
    let mut figures = document::Table::new("Least and greatest figures", columns);
    let names = table.columns();
    let first = 1 + table.design.factors().len() + 3;
    let rows: Vec<Vec<SweepField<'_>>> = table.rows().collect();
    for (place, head) in names.iter().enumerate().skip(first) {
        if head.kind != ColumnKind::Number {
            continue;
        }
        let found = rows.iter().filter_map(|row| match (row.first(), row.get(place)) {
            (Some(SweepField::Count(run)), Some(SweepField::Number(Some(value)))) => {
                Some((*value, *run))
            }
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
                None => (MISSING.to_owned(), String::new()),
            };
            cells.extend([Cell::plain(value), Cell::plain(run)]);
        }
        figures.row(cells);
    }
    figures
}

fn refused(table: &SweepTable<'_>) -> Option<String> {
    let (count, most) = table.refused();
    let (why, share) = most?;
    let runs = if count == 1 { "1 run has".to_owned() } else { format!("{count} runs have") };
    let reason = if share == count { "because" } else { "most often because" };
    Some(format!("{runs} no figures, {reason} {why}. The table says why for each."))
}
