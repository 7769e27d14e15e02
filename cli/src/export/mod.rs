//! What machines read: JSON documents and tables for spreadsheets, with fixed digits.
//!
//! These structs are the outside contract; names inside the engine may change without touching
//! them.

pub(crate) mod bass;
mod bass_maps;
mod bass_room;
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
pub(crate) mod sweep;
mod tables;
pub(crate) mod tape;
mod tape_care;
pub(crate) mod trace;
pub(crate) mod treat;
pub(crate) mod wav;
pub(crate) mod wave;
mod zones;

pub(crate) use decay::COLUMNS as DECAY_COLUMNS;
pub(crate) use decay_table::decay_csv;
pub(crate) use tables::{comparison_csv, energy_time_csv, reflections_csv};

use anyhow::{Context, Result};
use layout::Layout;
use serde::Serialize;

/// What a reflection hits, from speaker to listener, by the names of machine output.
pub(crate) fn wire_surfaces(
    scene: &earline_engine::scene::Scene,
    bounces: &[earline_engine::image_source::Bounce],
) -> Vec<String> {
    bounces.iter().map(|bounce| crate::format::labels::wire(scene, bounce)).collect()
}

/// A number with so many decimals at most.
pub(crate) fn to_decimals(value: f64, decimals: i32) -> f64 {
    round::to(value, decimals)
}

/// A document as JSON laid out for eyes too, with a final line end.
pub(crate) fn to_json(document: &impl Serialize) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut bytes, Layout::default());
    document.serialize(&mut writer).context("cannot write JSON")?;
    bytes.push(b'\n');
    Ok(bytes)
}
