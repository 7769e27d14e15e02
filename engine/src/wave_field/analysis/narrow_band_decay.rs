//! How the bass dies away at a seat: the level of narrow bands against time, from the response.
//!
//! The response on an even grid of frequencies is the spectrum of what a click makes at the seat. A
//! band is cut out of it by a Gaussian, and the inverse transform of what is left has the band's
//! envelope as its modulus. A Gaussian does not ring: what is seen to ring is the room. Time and
//! frequency trade: a band σ hertz wide (standard deviation) is smeared by 1/2πσ seconds.

use crate::scene::{Scene, Variant};
use crate::wave_field::analysis::WaveFieldError;
use crate::wave_field::analysis::sources::{level_db, places, together};
use crate::wave_field::wave_field_solver::WaveFieldSolver;
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use rustfft::{Fft, FftPlanner};
use std::f64::consts::{LN_2, TAU};

/// Width of a band between its half-power points, octaves.
pub const BANDWIDTH_OCTAVES: f64 = 1.0 / 6.0;
/// Middles of neighbouring bands are so many to the octave.
const BANDS_PER_OCTAVE: f64 = 24.0;
/// The response is solved for at steps of this, hertz: the transform then repeats after its inverse,
/// a second, and what rings longer adds to the beginning, weaker by what it loses in that second.
const STEP_HZ: f64 = 1.0;
/// Between two times, seconds.
const STEP_S: f64 = 0.005;
/// So many steps of time in a transform, and so many of them kept: 600 ms.
const STEPS: usize = 200;
const KEPT: usize = 121;
/// A Gaussian is cut off so many standard deviations from its middle, where it is −69 dB; bands that
/// reach beyond the response are left out.
const REACH: f64 = 4.0;

/// What to follow.
#[derive(Debug, Clone, PartialEq)]
pub struct NarrowBandDecayRequest {
    /// Indices of the speakers that sound alike, in [`Scene::speakers`].
    pub speakers: Vec<usize>,
    /// Indices of the listeners, in [`Scene::listeners`].
    pub listeners: Vec<usize>,
    /// Lowest and highest frequency, hertz.
    pub range_hz: [f64; 2],
}

/// The decay of every band at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct NarrowBandDecay {
    /// Index of the listener in the scene.
    pub listener: usize,
    /// Middles of the bands, hertz.
    pub band_hz: Vec<f64>,
    /// Time between two levels, seconds; the first is when the nearest speaker's direct sound arrives.
    pub time_step_s: f64,
    /// For each band its level against time, decibels re the greatest of all.
    pub level_db: Vec<Vec<f64>>,
    /// That greatest level, relative to the same click through the same filter at 1 m in the open.
    pub peak_db: f64,
}

impl NarrowBandDecay {
    /// Duration of a click through a band's filter alone, between half-power points, seconds.
    pub fn filter_duration_s(band_hz: f64) -> f64 {
        2.0 * LN_2.sqrt() / (TAU * sigma_hz(band_hz))
    }
}

/// Follows the bands at every listener.
///
/// # Errors
/// No such place, frequencies outside what is solved for, or too narrow a range for any band.
pub fn narrow_band_decay(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &NarrowBandDecayRequest,
) -> Result<Vec<NarrowBandDecay>, WaveFieldError> {
    let sources = places(scene, &plan.speakers)?;
    let seat = |&index: &usize| scene.listeners().get(index).map(|listener| listener.at);
    let seats: Option<Vec<DVec3>> = plan.listeners.iter().map(seat).collect();
    let seats = seats.ok_or(WaveFieldError::UnknownPosition)?;
    let [from_hz, to_hz] = plan.range_hz;
    let bands = bands_hz([from_hz, to_hz]);
    if bands.is_empty() {
        return Err(WaveFieldError::TooFewFrequencies);
    }
    let hz = steps(from_hz, to_hz);
    let waves = WaveFieldSolver::new(scene, variant, &hz)?;
    let pressure = together(&waves, &sources, &seats);
    let speed = scene.air().speed_of_sound_m_s();
    let follow = |(place, &listener): (usize, &usize)| {
        let nearest_m =
            sources.iter().map(|s| s.distance(seats[place])).fold(f64::INFINITY, f64::min);
        let late = |hz: f64| Complex64::cis(TAU * hz * nearest_m / speed);
        let heard: Vec<Complex64> =
            hz.iter().zip(&pressure).map(|(&hz, all)| all[place] * late(hz)).collect();
        let mut level_db = envelopes_db(&heard, from_hz, &bands);
        let peak_db = level_db.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
        level_db.iter_mut().flatten().for_each(|db| *db -= peak_db);
        NarrowBandDecay { listener, band_hz: bands.clone(), time_step_s: STEP_S, level_db, peak_db }
    };
    Ok(plan.listeners.iter().enumerate().map(follow).collect())
}

/// Standard deviation of a band's Gaussian, hertz: its square is a half at half the width.
fn sigma_hz(band_hz: f64) -> f64 {
    let wide_hz =
        band_hz * (2f64.powf(0.5 * BANDWIDTH_OCTAVES) - 2f64.powf(-0.5 * BANDWIDTH_OCTAVES));
    wide_hz / (2.0 * LN_2.sqrt())
}

/// Middles of bands that lie within a range with all their Gaussian.
fn bands_hz([from_hz, to_hz]: [f64; 2]) -> Vec<f64> {
    if !(0.0 < from_hz && from_hz < to_hz && to_hz.is_finite()) {
        return Vec::new();
    }
    let reach = REACH * sigma_hz(1.0);
    let (lowest, highest) = (from_hz / (1.0 - reach), to_hz / (1.0 + reach));
    let octaves = (highest / lowest).log2();
    if octaves < 0.0 {
        return Vec::new();
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let steps = (octaves * BANDS_PER_OCTAVE) as u32;
    (0..=steps).map(|i| lowest * 2f64.powf(f64::from(i) / BANDS_PER_OCTAVE)).collect()
}

/// From one frequency up to another in steps of [`STEP_HZ`].
fn steps(from_hz: f64, to_hz: f64) -> Vec<f64> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred")]
    let last = ((to_hz - from_hz) / STEP_HZ + 1e-9) as u32;
    (0..=last).map(|i| from_hz + STEP_HZ * f64::from(i)).collect()
}

/// Levels of the bands against time, in steps of [`STEP_S`], from a response that begins at a frequency
/// and goes on in steps of [`STEP_HZ`]. 0 dB is a click of unit pressure through the same filter.
fn envelopes_db(response: &[Complex64], from_hz: f64, bands_hz: &[f64]) -> Vec<Vec<f64>> {
    // As long as the response needs, and a multiple of the steps that are kept.
    let finer = response.len().div_ceil(STEPS).max(1);
    let fft = FftPlanner::new().plan_fft_inverse(STEPS * finer);
    let one = |&band_hz: &f64| {
        let line = band_in_time(response, from_hz, band_hz, fft.as_ref());
        line.into_iter().step_by(finer).take(KEPT).map(level_db).collect()
    };
    bands_hz.par_iter().map(one).collect()
}

/// A band against time, relative to the click alone at its start; only its modulus has a meaning, for
/// where the lowest frequency stands in the transform turns its phase.
fn band_in_time(
    response: &[Complex64],
    from_hz: f64,
    band_hz: f64,
    fft: &dyn Fft<f64>,
) -> Vec<Complex64> {
    let sigma = sigma_hz(band_hz);
    let weight = |i: usize| {
        let off = (from_hz + STEP_HZ * i as f64 - band_hz) / sigma;
        if REACH < off.abs() { 0.0 } else { (-0.5 * off * off).exp() }
    };
    let whole: f64 = (0..response.len()).map(weight).sum();
    let mut line = vec![Complex64::ZERO; fft.len()];
    for (i, (slot, pressure)) in line.iter_mut().zip(response).enumerate() {
        *slot = pressure * weight(i) / whole;
    }
    fft.process(&mut line);
    line
}

#[cfg(test)]
mod tests {
    #![expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "places in a short list"
    )]

    use super::*;

    /// Spectrum of a resonance that is struck at once: e^(−δt)·cos ωt for t > 0 is
    /// ½/(δ + j(ω − ω₀)) about its frequency (closed form); its energy falls by 60 dB in
    /// T = 3·ln 10/δ.
    fn resonance(hz: f64, decay_s: f64, grid: &[f64]) -> Vec<Complex64> {
        let falls = 3.0 * std::f64::consts::LN_10 / decay_s;
        grid.iter().map(|f| 0.5 / Complex64::new(falls, TAU * (f - hz))).collect()
    }

    fn slope_db_per_s(level_db: &[f64], from_s: f64, to_s: f64) -> f64 {
        let place = |s: f64| level_db[(s / STEP_S).round() as usize];
        (place(to_s) - place(from_s)) / (to_s - from_s)
    }

    #[test]
    fn a_resonance_falls_by_sixty_decibels_in_its_decay_time() {
        let grid = steps(15.0, 300.0);
        for (hz, decay_s) in [(33.0, 0.5), (60.0, 0.4), (60.0, 0.8), (120.0, 0.3), (200.0, 0.6)] {
            let response = resonance(hz, decay_s, &grid);
            let level = &envelopes_db(&response, 15.0, &[hz])[0];
            // Once the filter's own smear is over: two of its lengths after the start.
            let from_s = 2.0 * NarrowBandDecay::filter_duration_s(hz);
            let found = slope_db_per_s(level, from_s, from_s + 0.15);
            assert!((found * decay_s / -60.0 - 1.0).abs() < 0.03, "{hz} {decay_s}: {found}");
        }
    }

    /// A click alone lasts as long as the filter says, and stands at 0 dB.
    #[test]
    fn a_click_is_smeared_by_the_filter_alone() {
        let grid = steps(15.0, 300.0);
        let click = vec![Complex64::ONE; grid.len()];
        for (level, hz) in envelopes_db(&click, 15.0, &[40.0, 100.0]).iter().zip([40.0, 100.0]) {
            assert!(level[0].abs() < 1e-9);
            // Half the length after its middle it has lost 3 dB, a whole one after it four times that.
            let at = |s: f64| {
                let (i, part) = ((s / STEP_S) as usize, (s / STEP_S).fract());
                level[i] * (1.0 - part) + level[i + 1] * part
            };
            let long_s = NarrowBandDecay::filter_duration_s(hz);
            assert!((at(0.5 * long_s) + 3.01).abs() < 0.2, "{hz}: {}", at(0.5 * long_s));
            assert!((at(long_s) + 12.04).abs() < 0.4, "{hz}: {}", at(long_s));
        }
    }

    /// Bands reach no farther than the response.
    #[test]
    fn bands_lie_within_the_response() {
        let bands = bands_hz([15.0, 300.0]);
        assert!(bands[0] - REACH * sigma_hz(bands[0]) > 15.0 - 1e-9);
        let last = bands[bands.len() - 1];
        assert!(last + REACH * sigma_hz(last) < 300.0 && 225.0 < last, "{last}");
        assert!(bands_hz([100.0, 110.0]).is_empty() && bands_hz([0.0, 100.0]).is_empty());
        // A sixth of an octave between half-power points: their ratio is 2^(1/6).
        let half = LN_2.sqrt() * sigma_hz(100.0);
        assert!(((100.0 + half) / (100.0 - half)).log2() - BANDWIDTH_OCTAVES < 1e-3);
    }
}
