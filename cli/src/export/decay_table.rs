//! The decay figures as a table for spreadsheets: a row for each figure in each band.

use super::decay::COLUMNS;
use super::tables::finished;
use anyhow::{Context, Result};
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::scene::Scene;
use earline_engine::whole_decay::RoomDecay;

/// Every decay figure of every pair, seat after seat, by the names and digits of the trace
/// document. A figure that cannot be read has an empty value and the reason.
pub(crate) fn decay_csv(scene: &Scene, decay: &RoomDecay, listeners: &[usize]) -> Result<Vec<u8>> {
    let mut table = csv::Writer::from_writer(Vec::new());
    let head = ["listener", "speaker", "figure", "band_hz", "value", "standard_error", "reason"];
    table.write_record(head).context("cannot write decay.csv")?;
    for &listener in listeners {
        for pair in decay.pairs.iter().filter(|pair| pair.listener == listener) {
            for column in &COLUMNS {
                for (band, hz) in NOMINAL_HZ.into_iter().enumerate() {
                    let field = column.field(pair, band);
                    let number =
                        |value: Option<f64>| value.map_or_else(String::new, |v| v.to_string());
                    let row = [
                        scene.listeners()[pair.listener].name.clone(),
                        scene.speakers()[pair.speaker].name.clone(),
                        column.name.to_owned(),
                        hz.to_string(),
                        number(field.value),
                        number(field.standard_error),
                        field.reason.unwrap_or_default(),
                    ];
                    table.write_record(&row).context("cannot write decay.csv")?;
                }
            }
        }
    }
    finished(table)
}
