//! Decay of narrow bands at a seat: their level against time, from the response.
//!
//! The response on an equally spaced grid of frequencies is the spectrum of an impulse at the seat. A
//! Gaussian weights it to one band, and the modulus of the inverse transform is the envelope of that
//! band. A Gaussian filter does not ring: the ringing is the room's. Resolution in time and frequency
//! trade: a band with a standard deviation of σ hertz has an impulse response with one of 1/2πσ seconds.

use super::grid::linearly_spaced_hz;
use super::level::level_db;
use super::sources::{coherent_pressure, speaker_sources};
use crate::scene::{ListenerId, Scene, SpeakerId, Variant};
use crate::wave_field::limits::WaveFieldError;
use crate::wave_field::solver::WaveFieldSolver;
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use rustfft::{Fft, FftPlanner};
use std::f64::consts::{LN_2, TAU};

/// Bandwidth between half-power points, octaves.
pub const BANDWIDTH_OCTAVES: f64 = 1.0 / 6.0;
/// Number of band centres to the octave.
const BANDS_PER_OCTAVE: f64 = 24.0;
/// Spacing of the grid of frequencies, hertz. The transform has its inverse as its period, a second:
/// what rings longer wraps round to the beginning, weaker by its decay over that second.
const STEP_HZ: f64 = 1.0;
/// Interval of the levels, seconds.
const STEP_S: f64 = 0.005;
/// Number of intervals in a period of the transform, and of levels reported: 600 ms.
const STEPS: usize = 200;
const REPORTED: usize = 121;
/// Half-width of the truncated Gaussian in standard deviations, where it is −69 dB; bands that extend
/// beyond the response are left out.
const TRUNCATION_SIGMAS: f64 = 4.0;

/// Request for the decay of narrow bands.
#[derive(Debug, Clone, PartialEq)]
pub struct NarrowBandDecayRequest {
    /// The speakers that play one signal.
    pub speakers: Vec<SpeakerId>,
    /// The listeners.
    pub listeners: Vec<ListenerId>,
    /// Lowest and highest frequency, hertz.
    pub range_hz: [f64; 2],
}

/// Decay of every band at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct NarrowBandDecay {
    /// The listener.
    pub listener: ListenerId,
    /// Band centres, hertz.
    pub band_hz: Vec<f64>,
    /// Interval of the levels, seconds; the first is at the first arrival of direct sound.
    pub time_step_s: f64,
    /// Level of each band against time, decibels re the greatest of all.
    pub level_db: Vec<Vec<f64>>,
    /// Greatest level of all, decibels re the same impulse through the same filter at 1 m in a free field.
    pub peak_db: f64,
}

impl NarrowBandDecay {
    /// Duration of a band filter's impulse response between half-power points, seconds.
    pub fn filter_duration_s(band_hz: f64) -> f64 {
        2.0 * LN_2.sqrt() / (TAU * sigma_hz(band_hz))
    }
}

/// Decay of the coherent sum of speakers at every listener.
///
/// # Errors
/// A speaker or listener that the scene does not have, too narrow a range for any band, and as
/// [`WaveFieldSolver::new`].
pub fn narrow_band_decay(
    scene: &Scene,
    variant: &Variant<'_>,
    request: &NarrowBandDecayRequest,
) -> Result<Vec<NarrowBandDecay>, WaveFieldError> {
    let sources = speaker_sources(scene, &request.speakers)?;
    let seat = |&id: &ListenerId| scene.listener(id).map(|listener| listener.at);
    let seats: Option<Vec<DVec3>> = request.listeners.iter().map(seat).collect();
    let seats = seats.ok_or(WaveFieldError::UnknownPosition)?;
    let [from_hz, to_hz] = request.range_hz;
    let bands = band_centres_hz([from_hz, to_hz]);
    if bands.is_empty() {
        return Err(WaveFieldError::TooFewFrequencies);
    }
    let hz = linearly_spaced_hz(from_hz, to_hz, STEP_HZ);
    let solver = WaveFieldSolver::new(scene, variant, &hz)?;
    let pressure = coherent_pressure(&solver, &sources, &seats);
    let speed = scene.air().speed_of_sound_m_s();
    let decay = |(seat, &listener): (usize, &ListenerId)| {
        let arrives_s = |&id: &SpeakerId| {
            scene[id].at.distance(seats[seat]) / speed + 1e-3 * scene[id].chain.delay_ms
        };
        let first_s = request.speakers.iter().map(arrives_s).fold(f64::INFINITY, f64::min);
        let advance = |hz: f64| Complex64::cis(TAU * hz * first_s);
        let response: Vec<Complex64> =
            hz.iter().zip(&pressure).map(|(&hz, field)| field[seat] * advance(hz)).collect();
        let mut level_db = envelopes_db(&response, from_hz, &bands);
        let peak_db = level_db.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
        level_db.iter_mut().flatten().for_each(|db| *db -= peak_db);
        NarrowBandDecay { listener, band_hz: bands.clone(), time_step_s: STEP_S, level_db, peak_db }
    };
    Ok(request.listeners.iter().enumerate().map(decay).collect())
}

/// Standard deviation of a band's Gaussian, hertz: its square is one half at half the bandwidth.
fn sigma_hz(band_hz: f64) -> f64 {
    let upper = 2f64.powf(0.5 * BANDWIDTH_OCTAVES);
    let bandwidth_hz = band_hz * (upper - 2f64.powf(-0.5 * BANDWIDTH_OCTAVES));
    bandwidth_hz / (2.0 * LN_2.sqrt())
}

/// Centres of the bands that lie within a range with all of their Gaussian, hertz.
fn band_centres_hz([from_hz, to_hz]: [f64; 2]) -> Vec<f64> {
    if !(0.0 < from_hz && from_hz < to_hz && to_hz.is_finite()) {
        return Vec::new();
    }
    let half_width = TRUNCATION_SIGMAS * sigma_hz(1.0);
    let (lowest, highest) = (from_hz / (1.0 - half_width), to_hz / (1.0 + half_width));
    let octaves = (highest / lowest).log2();
    if octaves < 0.0 {
        return Vec::new();
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let steps = (octaves * BANDS_PER_OCTAVE) as u32;
    (0..=steps).map(|i| lowest * 2f64.powf(f64::from(i) / BANDS_PER_OCTAVE)).collect()
}

/// Levels of the bands against time at intervals of [`STEP_S`], decibels re an impulse of unit pressure
/// through the same filter, from a response at intervals of [`STEP_HZ`].
fn envelopes_db(response: &[Complex64], from_hz: f64, bands_hz: &[f64]) -> Vec<Vec<f64>> {
    // The transform is as long as the response needs, and a multiple of the intervals reported.
    let oversampling = response.len().div_ceil(STEPS).max(1);
    let fft = FftPlanner::new().plan_fft_inverse(STEPS * oversampling);
    let envelope = |&band_hz: &f64| {
        let signal = band_signal(response, from_hz, band_hz, fft.as_ref());
        signal.into_iter().step_by(oversampling).take(REPORTED).map(level_db).collect()
    };
    bands_hz.par_iter().map(envelope).collect()
}

/// Signal of a band against time, re the impulse through the filter at its start. Only its modulus has
/// a meaning: its phase depends on the frequency that the transform begins at.
fn band_signal(
    response: &[Complex64],
    from_hz: f64,
    band_hz: f64,
    fft: &dyn Fft<f64>,
) -> Vec<Complex64> {
    let sigma = sigma_hz(band_hz);
    let weight = |i: usize| {
        let deviation = (from_hz + STEP_HZ * i as f64 - band_hz) / sigma;
        let is_beyond = TRUNCATION_SIGMAS < deviation.abs();
        if is_beyond { 0.0 } else { (-0.5 * deviation * deviation).exp() }
    };
    let total: f64 = (0..response.len()).map(weight).sum();
    let mut signal = vec![Complex64::ZERO; fft.len()];
    for (i, (slot, pressure)) in signal.iter_mut().zip(response).enumerate() {
        *slot = pressure * weight(i) / total;
    }
    fft.process(&mut signal);
    signal
}

#[cfg(test)]
mod tests {
    #![expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "indices of a short list"
    )]

    use super::*;

    /// Spectrum of a resonance excited by an impulse: e^(−δt)·cos ωt for t > 0 is
    /// ½/(δ + j(ω − ω₀)) about its frequency (closed form); its energy falls by 60 dB in
    /// T = 3·ln 10/δ.
    fn resonance(hz: f64, decay_s: f64, grid: &[f64]) -> Vec<Complex64> {
        let delta = 3.0 * std::f64::consts::LN_10 / decay_s;
        grid.iter().map(|f| 0.5 / Complex64::new(delta, TAU * (f - hz))).collect()
    }

    fn slope_db_per_s(level_db: &[f64], from_s: f64, to_s: f64) -> f64 {
        let at = |s: f64| level_db[(s / STEP_S).round() as usize];
        (at(to_s) - at(from_s)) / (to_s - from_s)
    }

    #[test]
    fn a_resonance_falls_by_sixty_decibels_in_its_decay_time() {
        let grid = linearly_spaced_hz(15.0, 300.0, STEP_HZ);
        for (hz, decay_s) in [(33.0, 0.5), (60.0, 0.4), (60.0, 0.8), (120.0, 0.3), (200.0, 0.6)] {
            let response = resonance(hz, decay_s, &grid);
            let level = &envelopes_db(&response, 15.0, &[hz])[0];
            // After the filter's own impulse response: two of its durations after the start.
            let from_s = 2.0 * NarrowBandDecay::filter_duration_s(hz);
            let found = slope_db_per_s(level, from_s, from_s + 0.15);
            assert!((found * decay_s / -60.0 - 1.0).abs() < 0.03, "{hz} {decay_s}: {found}");
        }
    }

    /// An impulse alone has the duration of the filter, and a level of 0 dB at its start.
    #[test]
    fn an_impulse_lasts_as_long_as_the_filter() {
        let grid = linearly_spaced_hz(15.0, 300.0, STEP_HZ);
        let impulse = vec![Complex64::ONE; grid.len()];
        for (level, hz) in envelopes_db(&impulse, 15.0, &[40.0, 100.0]).iter().zip([40.0, 100.0]) {
            assert!(level[0].abs() < 1e-9);
            // Half the duration after its middle it has lost 3 dB, all of it after it four times that.
            let at = |s: f64| {
                let (i, part) = ((s / STEP_S) as usize, (s / STEP_S).fract());
                level[i] * (1.0 - part) + level[i + 1] * part
            };
            let duration_s = NarrowBandDecay::filter_duration_s(hz);
            assert!((at(0.5 * duration_s) + 3.01).abs() < 0.2, "{hz}: {}", at(0.5 * duration_s));
            assert!((at(duration_s) + 12.04).abs() < 0.4, "{hz}: {}", at(duration_s));
        }
    }

    /// Bands extend no farther than the response.
    #[test]
    fn bands_lie_within_the_response() {
        let bands = band_centres_hz([15.0, 300.0]);
        assert!(bands[0] - TRUNCATION_SIGMAS * sigma_hz(bands[0]) > 15.0 - 1e-9);
        let last = bands[bands.len() - 1];
        assert!(last + TRUNCATION_SIGMAS * sigma_hz(last) < 300.0 && 225.0 < last, "{last}");
        assert!(
            band_centres_hz([100.0, 110.0]).is_empty() && band_centres_hz([0.0, 100.0]).is_empty()
        );
        // A sixth of an octave between half-power points: their ratio is 2^(1/6).
        let half = LN_2.sqrt() * sigma_hz(100.0);
        assert!(((100.0 + half) / (100.0 - half)).log2() - BANDWIDTH_OCTAVES < 1e-3);
    }
}
