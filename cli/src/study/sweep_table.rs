//! Table of a sweep: a row for each run, state, speaker and listener.

use super::figures::FigureColumn;
use crate::export::CsvTable;
use anyhow::Result;
use earline_engine::explore::study::{Design, Operation};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Result of a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Outcome {
    /// Figures of each row.
    Values(Vec<Vec<Option<f64>>>),
    /// The rules of scene files refused its scene, or it could not be solved; in words.
    Refused(String),
}

/// State, speaker and listener of a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct RowKey {
    /// The state of the room; empty where everything is in and no variant says so.
    pub(crate) variant: String,
    /// The speaker's name.
    pub(crate) speaker: String,
    /// The listener's name.
    pub(crate) listener: String,
}

/// A sweep with every run done.
#[derive(Debug)]
pub(crate) struct SweepTable<'a> {
    /// Factors and their levels.
    pub(crate) design: &'a Design,
    /// Keys of the rows of every run.
    pub(crate) keys: &'a [RowKey],
    /// The figures.
    pub(crate) columns: &'a [FigureColumn],
    /// The runs, by their number.
    pub(crate) runs: &'a [Outcome],
}

/// A column of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct TableColumn {
    /// Its name.
    pub(crate) name: String,
    /// Meaning in words.
    pub(crate) means: String,
    /// Kind of its fields.
    pub(crate) kind: ColumnKind,
}

/// Kind of the fields of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ColumnKind {
    /// Whole numbers.
    Count,
    /// Numbers, some of which may be missing.
    Number,
    /// Standard errors of the column before.
    Error,
    /// Texts.
    Text,
}

/// A field of the table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub(crate) enum SweepField<'a> {
    /// A whole number.
    Count(usize),
    /// A number that may be missing.
    Number(Option<f64>),
    /// A text.
    Text(&'a str),
}

impl Outcome {
    /// Whether its values have this shape.
    pub(crate) fn has_shape(&self, rows: usize, width: usize) -> bool {
        match self {
            Self::Values(values) => {
                values.len() == rows && values.iter().all(|row| row.len() == width)
            }
            Self::Refused(_) => true,
        }
    }
}

/// Number of fields in a row of figures.
pub(crate) fn figure_width(columns: &[FigureColumn]) -> usize {
    columns.iter().map(|column| 1 + usize::from(column.has_error())).sum()
}

impl SweepTable<'_> {
    /// Every column in order.
    pub(crate) fn columns(&self) -> Vec<TableColumn> {
        let head = |name: &str, means: &str, kind| TableColumn {
            name: name.to_owned(),
            means: means.to_owned(),
            kind,
        };
        let mut heads = vec![head("run", "number of the run, from 0", ColumnKind::Count)];
        heads.extend(self.design.factors().iter().map(|factor| {
            let means = match factor.operation {
                Operation::Set => "varied: what it is",
                Operation::Shift => "varied: what is added to it",
            };
            head(&factor.name, means, ColumnKind::Number)
        }));
        heads.push(head("variant", "state of the room; empty: everything is in", ColumnKind::Text));
        heads.push(head("speaker", "who sounds", ColumnKind::Text));
        heads.push(head("listener", "who hears", ColumnKind::Text));
        for column in self.columns {
            heads.push(head(&column.name, column.means, ColumnKind::Number));
            if column.has_error() {
                let name = format!("{}.error", column.name);
                heads.push(head(&name, "one standard error of it", ColumnKind::Error));
            }
        }
        heads.push(head("refused", "why the run has no figures", ColumnKind::Text));
        heads
    }

    /// Every row, run after run.
    pub(crate) fn rows(&self) -> impl Iterator<Item = Vec<SweepField<'_>>> {
        let missing = vec![None; figure_width(self.columns)];
        self.runs.iter().enumerate().flat_map(move |(run, outcome)| {
            let values = self.design.values(run);
            let missing = missing.clone();
            self.keys.iter().enumerate().map(move |(place, key)| {
                let mut row = vec![SweepField::Count(run)];
                row.extend(values.iter().map(|&value| SweepField::Number(Some(value))));
                row.extend(
                    [&key.variant, &key.speaker, &key.listener].map(|t| SweepField::Text(t)),
                );
                let (figures, refused) = match outcome {
                    Outcome::Values(rows) => (rows.get(place).unwrap_or(&missing), ""),
                    Outcome::Refused(why) => (&missing, why.as_str()),
                };
                row.extend(figures.iter().map(|&value| SweepField::Number(value)));
                row.push(SweepField::Text(refused));
                row
            })
        })
    }

    /// The table for spreadsheets.
    ///
    /// # Errors
    /// None that can be named: it is written to memory.
    pub(crate) fn csv(&self) -> Result<Vec<u8>> {
        let names = self.columns().into_iter().map(|column| column.name);
        let mut table = CsvTable::new("sweep.csv", names)?;
        for row in self.rows() {
            let text = |field: &SweepField<'_>| match field {
                SweepField::Count(count) => count.to_string(),
                SweepField::Number(number) => number.map_or_else(String::new, |n| n.to_string()),
                SweepField::Text(text) => (*text).to_owned(),
            };
            table.row(row.iter().map(text))?;
        }
        table.finish()
    }

    /// Number of refused runs, and the most frequent reason with its number.
    pub(crate) fn refused(&self) -> (usize, Option<(&str, usize)>) {
        let mut reasons: std::collections::BTreeMap<&str, usize> =
            std::collections::BTreeMap::new();
        for outcome in self.runs {
            if let Outcome::Refused(why) = outcome {
                *reasons.entry(why).or_default() += 1;
            }
        }
        let all = reasons.values().sum();
        (all, reasons.into_iter().rev().max_by_key(|(_, count)| *count))
    }
}
