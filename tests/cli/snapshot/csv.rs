//! A table of which the ends are kept.

use super::numbers::summary;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// So many lines are kept whole.
const WHOLE: usize = 40;
const FIRST: usize = 10;
const LAST: usize = 3;

/// A long table as its head, its first and last rows, and a summary of every column.
pub(super) fn shorten(table: &str) -> String {
    let lines: Vec<&str> = table.lines().collect();
    if lines.len() <= WHOLE {
        return table.to_owned();
    }
    let rows = &lines[1..];
    let mut kept = lines[..=FIRST].join("\n");
    writeln!(kept, "\n[… {} rows in all …]", rows.len()).unwrap();
    kept += &rows[rows.len() - LAST..].join("\n");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let heads = reader.headers().unwrap().clone();
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    kept += "\n\n";
    for (index, head) in heads.iter().enumerate() {
        let cells: Vec<&str> = records.iter().map(|record| &record[index]).collect();
        writeln!(kept, "{head}: {}", column(&cells)).unwrap();
    }
    kept
}

/// Numbers by their summary, words by how many there are.
fn column(cells: &[&str]) -> String {
    let filled: Vec<&str> = cells.iter().copied().filter(|cell| !cell.is_empty()).collect();
    let numbers: Vec<f64> = filled.iter().filter_map(|cell| cell.parse().ok()).collect();
    if !numbers.is_empty() && numbers.len() == filled.len() {
        return summary(&numbers);
    }
    let different: BTreeSet<&str> = filled.iter().copied().collect();
    format!("{} cells with words, {} different", filled.len(), different.len())
}
