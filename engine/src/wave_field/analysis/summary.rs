//! Low-frequency summary of one state of a room, for comparing states side by side.

use super::grid::log_spaced_hz;
use super::level::{UNEVENNESS_BAND_HZ, deepest_dip, unevenness_range_hz};
use super::transfer_functions::{CoherentSum, TransferFunction, WaveField, WaveFieldRequest};
use crate::scene::{ListenerId, Scene, SpeakerId, SpeakerKind};

/// Low-frequency summary of one state of a room.
#[derive(Debug, Clone, PartialEq)]
pub struct LowFrequencySummary {
    /// Frequencies over [`UNEVENNESS_BAND_HZ`], hertz.
    pub hz: Vec<f64>,
    /// For each listener, what plays together ([`Scene::ensembles`]), or where nothing does, each speaker
    /// alone.
    pub rows: Vec<LowFrequencyRow>,
    /// Frequencies of the curves to be drawn, hertz: those above, or a finer grid that was asked for.
    pub curve_hz: Vec<f64>,
    /// Mean decay time of the modes within [`MODAL_DECAY_BAND_HZ`], seconds; `None` where one of them is
    /// undamped or there is none.
    pub mean_decay_s: Option<f64>,
}

/// Level of one pair or speaker at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct LowFrequencyRow {
    /// The listener.
    pub listener: ListenerId,
    /// Name of the pair or the speaker, `and subwoofers` where these play along, or `subwoofers` alone.
    pub source: String,
    /// Level re one speaker's own at 1 m in a free field, decibels.
    pub level_db: Vec<f64>,
    /// Level at the frequencies of the curves, decibels.
    pub curve_db: Vec<f64>,
    /// Standard deviation of the level, decibels; `None` with fewer than three frequencies.
    pub unevenness_db: Option<f64>,
    /// Deepest dip: its frequency in hertz, and its level against the mean of the octave about it,
    /// decibels.
    pub dip: Option<[f64; 2]>,
}

/// Frequency band of the mean modal decay, hertz: there modes are separate in small rooms.
pub const MODAL_DECAY_BAND_HZ: [f64; 2] = [20.0, 100.0];

/// Name of subwoofers that play alone.
const SUBWOOFERS: &str = "subwoofers";

impl LowFrequencySummary {
    /// What a summary for some speakers, with the subwoofers, and listeners is made of.
    pub fn request(
        scene: &Scene,
        speakers: &[SpeakerId],
        listeners: &[ListenerId],
    ) -> WaveFieldRequest {
        WaveFieldRequest {
            speakers: scene.with_subwoofers(speakers),
            listeners: listeners.to_vec(),
            hz: log_spaced_hz(UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]),
            head_half_m: 0.0,
            curves_to_hz: None,
        }
    }

    /// Summary of a wave field of a scene at some of its listeners.
    pub fn of(scene: &Scene, field: &WaveField, listeners: &[ListenerId]) -> Self {
        let band = |hz: &[f64]| {
            let [low_hz, high_hz] = UNEVENNESS_BAND_HZ;
            hz.partition_point(|&hz| hz < low_hz)..hz.partition_point(|&hz| hz <= high_hz)
        };
        let figures = band(&field.hz);
        let hz = &field.hz[figures.clone()];
        let curve_hz = field.curves.as_ref().map_or(&field.hz, |curves| &curves.hz);
        let drawn = band(curve_hz);
        let row = |listener: ListenerId,
                   (source, speakers): (&str, &[SpeakerId]),
                   (level_db, unevenness_db): (&[f64], Option<f64>)| {
            let curves = field.curves.as_ref();
            let curve = curves.and_then(|curves| curves.of_speakers(speakers, listener));
            let curve_db = curve.map_or(level_db, |curve| &curve.level_db);
            let level_db = &level_db[figures.clone()];
            let dip = deepest_dip(hz, level_db, unevenness_range_hz(scene, speakers));
            let dip = dip.filter(|(_, depth_db)| *depth_db < 0.0);
            LowFrequencyRow {
                listener,
                source: source.to_owned(),
                level_db: level_db.to_vec(),
                curve_db: curve_db[drawn.clone()].to_vec(),
                unevenness_db,
                dip: dip.map(|(hz, depth_db)| [hz, depth_db]),
            }
        };
        let rows = if field.coherent_sums.is_empty() {
            let here = field.pairs.iter().filter(|pair| listeners.contains(&pair.listener));
            let of_pair = |pair: &TransferFunction| {
                let source = (scene[pair.speaker].name.as_str(), &[pair.speaker][..]);
                row(pair.listener, source, (&pair.level_db, pair.unevenness_db))
            };
            here.map(of_pair).collect()
        } else {
            let here = field.coherent_sums.iter().filter(|sum| listeners.contains(&sum.listener));
            let of_sum = |sum: &CoherentSum| {
                let own = sum.name.as_deref();
                let source = match own {
                    None => SUBWOOFERS.to_owned(),
                    Some(name) if is_joined(scene, &sum.speakers) => {
                        format!("{name} and {SUBWOOFERS}")
                    }
                    Some(name) => name.to_owned(),
                };
                let source = (source.as_str(), &sum.speakers[..]);
                row(sum.listener, source, (&sum.level_db, sum.unevenness_db))
            };
            here.map(of_sum).collect()
        };
        let mean_decay_s = mean_decay_s(field);
        Self { mean_decay_s, rows, hz: hz.to_vec(), curve_hz: curve_hz[drawn].to_vec() }
    }
}

/// Whether subwoofers are among several speakers.
fn is_joined(scene: &Scene, speakers: &[SpeakerId]) -> bool {
    speakers.iter().any(|&id| scene[id].kind == SpeakerKind::Subwoofer)
}

/// Mean decay time of the modes within [`MODAL_DECAY_BAND_HZ`], seconds.
fn mean_decay_s(field: &WaveField) -> Option<f64> {
    let [from_hz, to_hz] = MODAL_DECAY_BAND_HZ;
    let band = field.modes.iter().filter(|row| (from_hz..=to_hz).contains(&row.hz));
    let times: Option<Vec<f64>> = band.map(|row| row.decay_s).collect();
    times
        .filter(|times| !times.is_empty())
        .map(|times| times.iter().sum::<f64>() / times.len() as f64)
}
