//! The one table that a sweep makes: a row for each run, state, speaker and listener.

use super::figures::Column;
use anyhow::{Context, Result};
use earline_engine::explore::study::{Design, Operation};
use serde::{Deserialize, Serialize};

/// What became of a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Outcome {
    /// For each row, what is written in each column of figures.
    Values(Vec<Vec<Option<f64>>>),
    /// The rules of scene files refused its scene, or it could not be solved; in words.
    Refused(String),
}

/// Whose row it is.
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
pub(crate) struct Table<'a> {
    /// What was varied.
    pub(crate) design: &'a Design,
    /// The rows of every run.
    pub(crate) keys: &'a [RowKey],
    /// The figures.
    pub(crate) columns: &'a [Column],
    /// The runs, by their number.
    pub(crate) runs: &'a [Outcome],
}

/// A column of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Head {
    /// Its name.
    pub(crate) name: String,
    /// What it is, in words.
    pub(crate) means: String,
    /// What its fields are.
    pub(crate) kind: Kind,
}

/// What the fields of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub(crate) enum Field<'a> {
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

/// How many fields a row of figures has.
pub(crate) fn figure_width(columns: &[Column]) -> usize {
    columns.iter().map(|column| 1 + usize::from(column.has_error())).sum()
}

impl Table<'_> {
    /// Every column in order.
    pub(crate) fn heads(&self) -> Vec<Head> {
        let head = |name: &str, means: &str, kind| Head {
            name: name.to_owned(),
            means: means.to_owned(),
            kind,
        };
        let mut heads = vec![head("run", "number of the run, from 0", Kind::Count)];
        heads.extend(self.design.factors().iter().map(|factor| {
            let means = match factor.operation {
                Operation::Set => "varied: what it is",
                Operation::Shift => "varied: what is added to it",
            };
            head(&factor.name, means, Kind::Number)
        }));
        heads.push(head("variant", "state of the room; empty: everything is in", Kind::Text));
        heads.push(head("speaker", "who sounds", Kind::Text));
        heads.push(head("listener", "who hears", Kind::Text));
        for column in self.columns {
            heads.push(head(&column.name, column.means, Kind::Number));
            if column.has_error() {
                let name = format!("{}.error", column.name);
                heads.push(head(&name, "one standard error of it", Kind::Error));
            }
        }
        heads.push(head("refused", "why the run has no figures", Kind::Text));
        heads
    }

    /// Every row, run after run.
    pub(crate) fn rows(&self) -> impl Iterator<Item = Vec<Field<'_>>> {
        let missing = vec![None; figure_width(self.columns)];
        self.runs.iter().enumerate().flat_map(move |(run, outcome)| {
            let values = self.design.values(run);
            let missing = missing.clone();
            self.keys.iter().enumerate().map(move |(place, key)| {
                let mut row = vec![Field::Count(run)];
                row.extend(values.iter().map(|&value| Field::Number(Some(value))));
                row.extend([&key.variant, &key.speaker, &key.listener].map(|t| Field::Text(t)));
                let (figures, refused) = match outcome {
                    Outcome::Values(rows) => (rows.get(place).unwrap_or(&missing), ""),
                    Outcome::Refused(why) => (&missing, why.as_str()),
                };
                row.extend(figures.iter().map(|&value| Field::Number(value)));
                row.push(Field::Text(refused));
                row
            })
        })
    }

    /// The table for spreadsheets.
    ///
    /// # Errors
    /// None that can be named: it is written to memory.
    pub(crate) fn csv(&self) -> Result<Vec<u8>> {
        let mut table = csv::Writer::from_writer(Vec::new());
        table.write_record(self.heads().iter().map(|head| &head.name)).context("sweep.csv")?;
        for row in self.rows() {
            let text = |field: &Field<'_>| match field {
                Field::Count(count) => count.to_string(),
                Field::Number(number) => number.map_or_else(String::new, |n| n.to_string()),
                Field::Text(text) => (*text).to_owned(),
            };
            table.write_record(row.iter().map(text)).context("cannot write sweep.csv")?;
        }
        table.into_inner().context("cannot write sweep.csv")
    }

    /// How many runs were refused, and the reason most of them share with how many.
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
