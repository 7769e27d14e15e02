//! Low end of a state in a few figures, in the documents of `compare` and `treat`.

use super::parts::listener_name;
use super::round::{Decibels, Hertz, Rounded, Seconds, decibels, hertz, seconds};
use earline_engine::scene::Scene;
use earline_engine::wave_field::{self, MODAL_DECAY_BAND_HZ, UNEVENNESS_BAND_HZ};
use schemars::JsonSchema;
use serde::Serialize;

/// The low end by the wave field.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct LowEnd {
    /// Range of frequencies of the unevenness.
    from_to_hz: [f64; 2],
    /// Range of frequencies of the longest decay.
    ringing_from_to_hz: [f64; 2],
    /// Longest decay time of a mode in that range; null where there is none.
    ringing_s: Option<Seconds>,
    /// Frequencies of the levels.
    frequencies_hz: Vec<Rounded<3>>,
    seats: Vec<LowEndAtSeat>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct LowEndAtSeat {
    listener: String,
    /// Speaker or pair that plays.
    sounding: String,
    /// Standard deviation of the level; null where the range has too few frequencies.
    unevenness_db: Option<Decibels>,
    /// Frequency of the deepest dip; null without a dip.
    dip_hz: Option<Hertz>,
    /// Level of that dip against the octave about it.
    dip_db: Option<Decibels>,
    /// Level at each frequency, against 1 m in a free field.
    level_db: Vec<Decibels>,
}

impl LowEnd {
    pub(super) fn new(scene: &Scene, found: &wave_field::LowFrequencySummary) -> Self {
        let row = |row: &wave_field::LowFrequencyRow| LowEndAtSeat {
            listener: listener_name(scene, row.listener),
            sounding: row.source.clone(),
            unevenness_db: row.unevenness_db.map(decibels),
            dip_hz: row.dip.map(|[hz, _]| hertz(hz)),
            dip_db: row.dip.map(|[_, depth_db]| decibels(depth_db)),
            level_db: row.level_db.iter().copied().map(decibels).collect(),
        };
        Self {
            from_to_hz: UNEVENNESS_BAND_HZ,
            ringing_from_to_hz: MODAL_DECAY_BAND_HZ,
            ringing_s: found.mean_decay_s.map(seconds),
            frequencies_hz: found.hz.iter().copied().map(Rounded::from).collect(),
            seats: found.rows.iter().map(row).collect(),
        }
    }
}
