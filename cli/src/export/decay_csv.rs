//! Decay figures as a table for spreadsheets: a row for each figure in each band.

use super::csv_table::CsvTable;
use super::decay_columns::DECAY_COLUMNS;
use anyhow::Result;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::scene::{ListenerId, Scene};
use earline_engine::simulate::RoomDecay;

/// Every decay figure of every pair, seat after seat, by the names and digits of the trace
/// document. A figure that cannot be read has an empty value and the reason.
pub(crate) fn decay_csv(
    scene: &Scene,
    decay: &RoomDecay,
    listeners: &[ListenerId],
) -> Result<Vec<u8>> {
    let head = ["listener", "speaker", "figure", "band_hz", "value", "standard_error", "reason"];
    let mut table = CsvTable::new("decay.csv", head)?;
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    for &listener in listeners {
        for pair in decay.pairs.iter().filter(|pair| pair.listener == listener) {
            for column in &DECAY_COLUMNS {
                for (band, hz) in NOMINAL_HZ.into_iter().enumerate() {
                    let field = column.field(pair, band);
                    table.row([
                        scene[pair.listener].name.as_str(),
                        &scene[pair.speaker].name,
                        column.name,
                        &hz.to_string(),
                        &number(field.value),
                        &number(field.standard_error),
                        &field.reason.unwrap_or_default(),
                    ])?;
                }
            }
        }
    }
    table.finish()
}
