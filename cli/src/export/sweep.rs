//! The document of a sweep, `earline.sweep/1`.

use crate::study::{ColumnKind, SweepField, SweepTable, TableColumn};
use earline_engine::explore::study::{self, Levels, Operation};
use schemars::JsonSchema;
use serde::Serialize;

/// Factors of a sweep and columns of its table; with `rows`, the table itself.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SweepDocument<'a> {
    /// Name and version of the document.
    schema: &'static str,
    /// Title of the scene.
    scene: &'a str,
    /// Number of runs.
    runs: usize,
    /// Runs without figures, because the rules of scene files refused their scene.
    refused: usize,
    design: DesignRow,
    factors: Vec<FactorRow<'a>>,
    columns: Vec<ColumnRow>,
    /// Fields of each row in the order of the columns; absent in the file beside the table.
    #[serde(skip_serializing_if = "Option::is_none")]
    rows: Option<Vec<Vec<SweepField<'a>>>>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct DesignRow {
    #[schemars(extend("enum" = ["every combination", "draws"]))]
    kind: &'static str,
    /// Seed of the draws; null for every combination.
    seed: Option<u64>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct FactorRow<'a> {
    name: &'a str,
    #[schemars(extend("enum" = ["set", "shift"]))]
    way: &'static str,
    /// Values that it takes one after the other.
    #[serde(skip_serializing_if = "Option::is_none")]
    values: Option<&'a [f64]>,
    /// Range that its values are drawn from.
    #[serde(skip_serializing_if = "Option::is_none")]
    between: Option<[f64; 2]>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ColumnRow {
    name: String,
    /// Meaning of the column in words.
    means: String,
    #[schemars(extend("enum" = ["count", "number", "text"]))]
    kind: &'static str,
}

impl<'a> SweepDocument<'a> {
    pub(crate) fn new(table: &'a SweepTable<'a>, scene: &'a str, with_rows: bool) -> Self {
        let draws = table.design.draws();
        let kind = if draws.is_some() { "draws" } else { "every combination" };
        let column = |column: TableColumn| ColumnRow {
            name: column.name,
            means: column.means,
            kind: match column.kind {
                ColumnKind::Count => "count",
                ColumnKind::Number | ColumnKind::Error => "number",
                ColumnKind::Text => "text",
            },
        };
        Self {
            schema: "earline.sweep/1",
            scene,
            runs: table.runs.len(),
            refused: table.refused().0,
            design: DesignRow { kind, seed: draws.map(|(_, seed)| seed) },
            factors: table.design.factors().iter().map(FactorRow::new).collect(),
            columns: table.columns().into_iter().map(column).collect(),
            rows: with_rows.then(|| table.rows().collect()),
        }
    }
}

impl<'a> FactorRow<'a> {
    fn new(factor: &'a study::Factor) -> Self {
        let (values, between) = match &factor.levels {
            Levels::Each(levels) => (Some(levels.as_slice()), None),
            Levels::Between(from, to) => (None, Some([*from, *to])),
        };
        let way = match factor.operation {
            Operation::Set => "set",
            Operation::Shift => "shift",
        };
        Self { name: &factor.name, way, values, between }
    }
}
