//! Loudness and true peak of a stereo signal.

use super::Stereo;
use ebur128::{EbuR128, Mode};

/// Loudness and peak of a stereo programme.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loudness {
    /// Integrated loudness, LUFS (ITU-R BS.1770, gated).
    pub integrated_lufs: f64,
    /// True peak, the higher of the two channels, decibels re full scale (ITU-R BS.1770 annex 2).
    pub true_peak_db: f64,
}

/// Loudness of a stereo programme at 48 kHz; `None` where it has none: shorter than one block of
/// 400 ms, or nothing above the absolute gate of −70 LUFS.
pub fn loudness(programme: &Stereo) -> Option<Loudness> {
    let rate = 48_000;
    let mut meter = EbuR128::new(2, rate, Mode::I | Mode::TRUE_PEAK).ok()?;
    let [left, right] = programme;
    meter.add_frames_planar_f64(&[left, right]).ok()?;
    let integrated_lufs = meter.loudness_global().ok().filter(|lufs| lufs.is_finite())?;
    let peak = meter.true_peak(0).ok()?.max(meter.true_peak(1).ok()?);
    Some(Loudness { integrated_lufs, true_peak_db: 20.0 * peak.log10() })
}
