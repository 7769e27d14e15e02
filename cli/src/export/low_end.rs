//! The bass of a state in a few figures, in the documents of `compare` and `treat`.

use super::round;
use earline_engine::scene::Scene;
use earline_engine::wave_field::{self, MODAL_DECAY_BAND_HZ, UNEVENNESS_BAND_HZ};
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct LowEnd {
    from_to_hz: [f64; 2],
    ringing_from_to_hz: [f64; 2],
    ringing_s: Option<f64>,
    frequencies_hz: Vec<f64>,
    seats: Vec<LowRow>,
}

#[derive(Debug, Serialize)]
struct LowRow {
    listener: String,
    sounding: String,
    unevenness_db: Option<f64>,
    dip_hz: Option<f64>,
    dip_db: Option<f64>,
    level_db: Vec<Option<f64>>,
}

impl LowEnd {
    pub(super) fn new(scene: &Scene, found: &wave_field::LowFrequencySummary) -> Self {
        let row = |row: &wave_field::LowFrequencyRow| LowRow {
            listener: scene
                .listeners()
                .get(row.listener)
                .map_or_else(String::new, |listener| listener.name.clone()),
            sounding: row.source.clone(),
            unevenness_db: row.unevenness_db.and_then(round::decibels),
            dip_hz: row.dip.map(|[hz, _]| round::hertz(hz)),
            dip_db: row.dip.and_then(|[_, depth_db]| round::decibels(depth_db)),
            level_db: row.level_db.iter().map(|db| round::decibels(*db)).collect(),
        };
        Self {
            from_to_hz: UNEVENNESS_BAND_HZ,
            ringing_from_to_hz: MODAL_DECAY_BAND_HZ,
            ringing_s: found.mean_decay_s.map(round::seconds),
            frequencies_hz: found.hz.iter().map(|hz| round::to(*hz, 3)).collect(),
            seats: found.rows.iter().map(row).collect(),
        }
    }
}
