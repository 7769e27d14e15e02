//! Zero-phase filters and smoothing of energy-time curves.

use crate::medium::bands::{EARLY_BANDS, edges_hz, exact_hz};
use std::f64::consts::FRAC_PI_2;

/// Ringing of the widest filter before and after a sound, seconds: the margin of every response.
pub(super) const RING_S: f64 = 0.08;

/// Amplitude of the filter behind the single curve: equal energy in every octave from 1 to 8 kHz
/// (amplitude 1/√f), each end fading over one octave about its band edge (raised cosine in log
/// frequency), no phase.
pub fn curve_filter(hz: f64) -> f64 {
    let [low_edge, _] = edges_hz(EARLY_BANDS.start);
    let [_, high_edge] = edges_hz(EARLY_BANDS.end - 1);
    let fade = |octaves_inside: f64| {
        let share = (octaves_inside + 0.5).clamp(0.0, 1.0);
        (FRAC_PI_2 * share).sin().powi(2)
    };
    if hz <= 0.0 {
        return 0.0;
    }
    fade((hz / low_edge).log2()) * fade((high_edge / hz).log2()) / hz.sqrt()
}

/// Amplitude of an octave filter: a cosine in log frequency, −3 dB at the band edges, nothing
/// beyond the neighbouring mid-bands, no phase. The squares of all of them add up to one.
pub fn octave_filter(band: usize, hz: f64) -> f64 {
    if hz <= 0.0 {
        return 0.0;
    }
    let octaves = (hz / exact_hz(band)).log10() / 0.3;
    if octaves.abs() < 1.0 { (FRAC_PI_2 * octaves).cos() } else { 0.0 }
}

/// Amplitude of the octave filter that measured responses are evaluated with: a Butterworth band-pass of the
/// sixth order, −3 dB at the band edges (of the shape that IEC 61260 asks of class 1; from memory), without its
/// phase.
pub(super) fn measuring_octave_filter(band: usize, hz: f64) -> f64 {
    if hz <= 0.0 {
        return 0.0;
    }
    let middle_hz = exact_hz(band);
    let [low_edge, high_edge] = edges_hz(band);
    let quality = middle_hz / (high_edge - low_edge);
    let off = quality * (hz / middle_hz - middle_hz / hz);
    (1.0 + off.powi(6)).sqrt().recip()
}

/// Length of the Hann window that smooths a curve, seconds: 1 ms, or two periods of an octave's
/// mid-band where that is longer.
pub fn smoothing_s(band: Option<usize>) -> f64 {
    band.map_or(1e-3, |band| (2.0 / exact_hz(band)).max(1e-3))
}
