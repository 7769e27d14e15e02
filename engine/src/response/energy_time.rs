//! The energy-time curve: what a measured one shows, so that the two can be laid over each other.

use super::early::{EarlyResponse, ReferenceLevel};
use super::impulse::ImpulseResponse;
use super::spectrum::{SAMPLE_RATE_HZ, Spectrum};
use crate::image_source::Arrival;
use crate::medium::bands::{EARLY_BANDS, PerBand, energy_db, exact_hz};
use std::f64::consts::FRAC_PI_2;

/// Energy against time at a seat, 0 dB at the peak of the unobstructed direct sound.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyTime {
    /// Time of the first value after emission, seconds.
    pub start_s: f64,
    /// Time between values, seconds.
    pub step_s: f64,
    /// Level over 1–8 kHz in decibels, not below [`FLOOR_DB`].
    pub level_db: Vec<f64>,
    /// Level in each octave band in decibels, not below [`FLOOR_DB`].
    pub band_level_db: PerBand<Vec<f64>>,
    /// The same as arrivals: every single arrival at its own time with its own level.
    pub arrivals: Vec<EtcArrival>,
    /// Nothing is missing from the curve up to this time after emission, seconds, and there it ends.
    pub complete_s: f64,
    /// How far the energy behind the curve may be off; `None` where every part of it is a single
    /// arrival.
    pub error: Option<CurveError>,
}

/// Standard error of the energy behind a curve, as rays leave it. The curve itself swings more: it
/// is that of one draw of noise, as a measured one is that of one room.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveError {
    /// Time of the middle of the first step after emission, seconds.
    pub start_s: f64,
    /// Time between values, seconds.
    pub step_s: f64,
    /// Over 1–8 kHz, decibels; `None` in steps where nothing arrives.
    pub level_db: Vec<Option<f64>>,
    /// In each octave band, decibels.
    pub band_level_db: PerBand<Vec<Option<f64>>>,
}

/// One arrival of the energy-time curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EtcArrival {
    /// Time after emission, seconds.
    pub time_s: f64,
    /// Number of bounces; 0 is the direct sound.
    pub order: usize,
    /// Level over 1–8 kHz relative to the unobstructed direct sound, decibels.
    pub level_db: f64,
    /// Level in each band relative to the unobstructed direct sound, decibels.
    pub band_level_db: PerBand<f64>,
}

/// Levels of a curve are not followed below this, decibels.
pub const FLOOR_DB: f64 = -120.0;

/// Time between the values of a curve, seconds.
const STEP_S: f64 = 1e-4;

/// The widest filter rings this long before and after, seconds; responses carry it as a margin.
pub(super) const RING_S: f64 = 0.08;

impl EnergyTime {
    /// The curve of a response up to `complete_s` after emission, with the sticks of its arrivals.
    pub fn new(response: &ImpulseResponse, early: &EarlyResponse, complete_s: f64) -> Self {
        // A ring is a circle: what rings before emission must not meet what rings after the end.
        let spectrum = Spectrum::of(response, complete_s + 2.0 * RING_S);
        let level = |filter: &dyn Fn(f64) -> f64, smoothing_s: f64, peak: f64| {
            sampled_db(&spectrum.envelope_energy(filter, smoothing_s), peak, complete_s)
        };
        let ReferenceLevel { peak, band_peak } = early.reference;
        Self {
            start_s: 0.0,
            step_s: STEP_S,
            level_db: level(&curve_filter, smoothing_s(None), peak),
            band_level_db: std::array::from_fn(|band| {
                let filter = |hz: f64| octave_filter(band, hz);
                level(&filter, smoothing_s(Some(band)), band_peak[band])
            }),
            arrivals: early.arrivals.clone(),
            complete_s,
            error: None,
        }
    }

    /// How long the response to a curve must last, seconds: a little longer than the curve.
    pub fn response_s(complete_s: f64) -> f64 {
        complete_s + RING_S
    }
}

impl EtcArrival {
    pub(super) fn new(arrival: &Arrival, direct: &Arrival, speed_of_sound_m_s: f64) -> Self {
        Self {
            time_s: arrival.distance_m / speed_of_sound_m_s,
            order: arrival.order(),
            level_db: arrival.level_db(direct),
            band_level_db: arrival.band_level_db(direct),
        }
    }
}

/// Amplitude of the filter behind the single curve: equal energy in every octave from 1 to 8 kHz
/// (amplitude 1/√f), each end fading over one octave about its band edge (raised cosine in log
/// frequency), no phase.
pub fn curve_filter(hz: f64) -> f64 {
    let half_octave = 10f64.powf(0.15);
    let low_edge = exact_hz(EARLY_BANDS.start) / half_octave;
    let high_edge = exact_hz(EARLY_BANDS.end - 1) * half_octave;
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

/// Length of the Hann window that smooths a curve, seconds: 1 ms, or two periods of an octave's
/// mid-band where that is longer.
pub fn smoothing_s(band: Option<usize>) -> f64 {
    band.map_or(1e-3, |band| (2.0 / exact_hz(band)).max(1e-3))
}

/// Reads a 48 kHz energy at every step, in decibels over `peak`.
fn sampled_db(energy: &[f64], peak: f64, complete_s: f64) -> Vec<f64> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "positive and short"
    )]
    let values = (complete_s / STEP_S).floor() as usize + 1;
    (0..values)
        .map(|i| {
            let at = i as f64 * STEP_S * SAMPLE_RATE_HZ;
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "positive and short"
            )]
            let below = at.floor() as usize;
            let share = at - below as f64;
            let here = energy[below] * (1.0 - share) + energy[below + 1] * share;
            energy_db(here / peak).max(FLOOR_DB)
        })
        .collect()
}
