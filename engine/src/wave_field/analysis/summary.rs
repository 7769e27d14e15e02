//! The bass of a state of the room in a few figures, for laying states side by side.

use crate::scene::{Scene, Variant};
use crate::wave_field::analysis::extrema::mean_about;
use crate::wave_field::analysis::{
    UNEVENNESS_BAND_HZ, WaveFieldError, WaveFieldRequest, log_spaced_hz, solve_wave_field,
};

/// The bass of one state of a room.
#[derive(Debug, Clone, PartialEq)]
pub struct LowFrequencySummary {
    /// Frequencies in hertz, over [`UNEVENNESS_BAND_HZ`].
    pub hz: Vec<f64>,
    /// For each listener, each pair whose speakers sound alike together, or where there is none, each
    /// speaker alone.
    pub rows: Vec<LowFrequencyRow>,
    /// Mean decay time of the modes from [`MODAL_DECAY_BAND_HZ`], seconds; `None` where one of them never ends
    /// or there is none.
    pub mean_decay_s: Option<f64>,
}

/// What sounds at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct LowFrequencyRow {
    /// Index of the listener in the scene.
    pub listener: usize,
    /// Name of the pair or the speaker.
    pub source: String,
    /// Level re one speaker's own at 1 m in the open, decibels.
    pub level_db: Vec<f64>,
    /// Its standard deviation, decibels; `None` with fewer than three frequencies.
    pub unevenness_db: Option<f64>,
    /// The deepest dip: its frequency in hertz, and its depth below the mean of an octave about it.
    pub dip: Option<[f64; 2]>,
}

/// The modes whose mean decay is told, hertz: those that stand apart in small rooms.
pub const MODAL_DECAY_BAND_HZ: [f64; 2] = [20.0, 100.0];

/// The bass of a state at the seats given.
///
/// # Errors
/// As [`bass`].
pub fn low_frequency_summary(
    scene: &Scene,
    variant: &Variant<'_>,
    speakers: &[usize],
    listeners: &[usize],
) -> Result<LowFrequencySummary, WaveFieldError> {
    let plan = WaveFieldRequest {
        speakers: speakers.to_vec(),
        listeners: listeners.to_vec(),
        hz: log_spaced_hz(UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]),
        head_half_m: 0.0,
    };
    let found = solve_wave_field(scene, variant, &plan)?;
    let row = |listener: usize, source: &str, level_db: &[f64], unevenness_db| LowFrequencyRow {
        listener,
        source: source.to_owned(),
        level_db: level_db.to_vec(),
        unevenness_db,
        dip: deepest(&found.hz, level_db),
    };
    let rows = if found.coherent_sums.is_empty() {
        let name = |speaker: usize| scene.speakers()[speaker].name.as_str();
        let one = found.pairs.iter();
        one.map(|p| row(p.listener, name(p.speaker), &p.level_db, p.unevenness_db)).collect()
    } else {
        let one = found.coherent_sums.iter();
        one.map(|both| row(both.listener, &both.name, &both.level_db, both.unevenness_db)).collect()
    };
    let [from_hz, to_hz] = MODAL_DECAY_BAND_HZ;
    let apart: Option<Vec<f64>> = found
        .modes
        .iter()
        .filter(|row| (from_hz..=to_hz).contains(&row.hz))
        .map(|row| row.decay_s)
        .collect();
    let mean_decay_s = apart
        .filter(|times| !times.is_empty())
        .map(|times| times.iter().sum::<f64>() / times.len() as f64);
    Ok(LowFrequencySummary { hz: found.hz, rows, mean_decay_s })
}

fn deepest(hz: &[f64], level_db: &[f64]) -> Option<[f64; 2]> {
    let lows = (1..hz.len().saturating_sub(1))
        .filter(|&i| level_db[i] < level_db[i - 1] && level_db[i] <= level_db[i + 1])
        .map(|i| [hz[i], level_db[i] - mean_about(hz, level_db, i)]);
    lows.min_by(|a, b| a[1].total_cmp(&b[1])).filter(|[_, depth_db]| *depth_db < 0.0)
}
