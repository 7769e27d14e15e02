//! Machine output: JSON documents and tables for spreadsheets, with fixed digits.
//!
//! These structs are the outside contract, published as JSON Schema under `docs/schema/`; names inside
//! the engine may change without touching them. Nothing here knows the terminal, a page or a drawing.

pub(crate) mod bass;
mod bass_maps;
mod bass_responses;
mod bass_room;
mod bass_subwoofers;
pub(crate) mod check;
pub(crate) mod compare;
mod comparison_csv;
mod criterion;
mod csv_table;
mod decay;
mod decay_columns;
mod decay_csv;
mod formula_deviations;
mod json_layout;
pub(crate) mod listen;
mod low_end;
pub(crate) mod materials;
mod parts;
pub(crate) mod place;
mod round;
#[cfg(test)]
mod schemas;
pub(crate) mod start;
mod statistics;
pub(crate) mod sweep;
pub(crate) mod tape;
mod tape_tolerances;
pub(crate) mod trace;
mod trace_csv;
pub(crate) mod treat;
pub(crate) mod wave;
mod zones;

pub(crate) use comparison_csv::comparison_csv;
pub(crate) use csv_table::CsvTable;
pub(crate) use decay_columns::DECAY_COLUMNS;
pub(crate) use decay_csv::decay_csv;
pub(crate) use parts::surfaces as wire_surfaces;
pub(crate) use round::to as to_decimals;
pub(crate) use trace_csv::{energy_time_csv, reflections_csv};

use anyhow::{Context, Result};
use json_layout::JsonLayout;
use serde::Serialize;

/// A document as JSON laid out for eyes too, with a final line end.
pub(crate) fn to_json(document: &impl Serialize) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut bytes, JsonLayout::default());
    document.serialize(&mut writer).context("cannot write JSON")?;
    bytes.push(b'\n');
    Ok(bytes)
}
