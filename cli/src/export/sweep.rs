//! The document of `earline sweep`.

use crate::study::{Field, Kind, Table};
use earline_engine::explore::study::{Levels, Operation};
use serde::Serialize;

/// What was varied and what the columns of the table are; with `rows`, the table itself.
#[derive(Debug, Serialize)]
pub(crate) struct SweepDocument<'a> {
    schema: &'static str,
    scene: &'a str,
    runs: usize,
    /// Runs without figures, because the rules of scene files refused their scene.
    refused: usize,
    design: Design,
    factors: Vec<Factor<'a>>,
    columns: Vec<Column>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rows: Option<Vec<Vec<Field<'a>>>>,
}

#[derive(Debug, Serialize)]
struct Design {
    /// `every combination` or `draws`.
    kind: &'static str,
    seed: Option<u64>,
}

#[derive(Debug, Serialize)]
struct Factor<'a> {
    name: &'a str,
    /// `set` or `shift`.
    way: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    values: Option<&'a [f64]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    between: Option<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct Column {
    name: String,
    means: String,
    /// `count`, `number` or `text`.
    kind: &'static str,
}

impl<'a> SweepDocument<'a> {
    pub(crate) fn new(table: &'a Table<'a>, scene: &'a str, with_rows: bool) -> Self {
        let draws = table.design.draws();
        let kind = if draws.is_some() { "draws" } else { "every combination" };
        let factor = |factor: &'a earline_engine::explore::study::Factor| {
            let (values, between) = match &factor.levels {
                Levels::Each(levels) => (Some(levels.as_slice()), None),
                Levels::Between(from, to) => (None, Some([*from, *to])),
            };
            let way = match factor.operation {
                Operation::Set => "set",
                Operation::Shift => "shift",
            };
            Factor { name: &factor.name, way, values, between }
        };
        let column = |head: crate::study::Head| Column {
            name: head.name,
            means: head.means,
            kind: match head.kind {
                Kind::Count => "count",
                Kind::Number | Kind::Error => "number",
                Kind::Text => "text",
            },
        };
        Self {
            schema: "earline.sweep/1",
            scene,
            runs: table.runs.len(),
            refused: table.refused().0,
            design: Design { kind, seed: draws.map(|(_, seed)| seed) },
            factors: table.design.factors().iter().map(factor).collect(),
            columns: table.heads().into_iter().map(column).collect(),
            rows: with_rows.then(|| table.rows().collect()),
        }
    }
}
