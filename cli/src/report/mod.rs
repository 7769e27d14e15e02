//! What machines read: JSON documents and tables for spreadsheets, with fixed digits.
//!
//! These structs are the outside contract; names inside the engine may change without touching
//! them.

pub(crate) mod bass;
mod bass_maps;
pub(crate) mod check;
pub(crate) mod compare;
mod criterion;
mod decay;
mod decay_table;
mod layout;
pub(crate) mod listen;
mod loudest;
mod low_end;
pub(crate) mod materials;
mod parted;
pub(crate) mod place;
mod round;
pub(crate) mod start;
mod statistics;
mod tables;
pub(crate) mod tape;
mod tape_care;
pub(crate) mod trace;
pub(crate) mod treat;
mod zones;

pub(crate) use decay_table::decay_csv;
pub(crate) use tables::{comparison_csv, energy_time_csv, reflections_csv};

use anyhow::{Context, Result};
use layout::Layout;
use serde::Serialize;

/// A document as JSON laid out for eyes too, with a final line end.
pub(crate) fn to_json(document: &impl Serialize) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut bytes, Layout::default());
    document.serialize(&mut writer).context("cannot write JSON")?;
    bytes.push(b'\n');
    Ok(bytes)
}
