//! The part of a response that is known path by path.

use super::energy_time::{EtcArrival, RING_S, curve_filter, octave_filter, smoothing_s};
use super::impulse::ImpulseResponse;
use super::spectrum::{Spectrum, TimedArrival};
use crate::image_source::Arrival;
use crate::medium::bands::{FrequencyGrid, PerBand};
use std::f64::consts::FRAC_PI_2;

/// The arrivals at a seat as one response, with what is needed to go on from it.
#[derive(Debug, Clone, PartialEq)]
pub struct EarlyResponse {
    /// Their sum, fading out towards its end.
    pub response: ImpulseResponse,
    /// How it fades.
    pub window: TruncationWindow,
    /// What levels relate to.
    pub reference: ReferenceLevel,
    /// Every arrival that stands in the response in full.
    pub arrivals: Vec<EtcArrival>,
}

/// How arrivals fade out before the last that is followed: an image sum that breaks off makes a
/// pulse of its own, as all images on one sphere stop at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TruncationWindow {
    /// Arrivals up to this time after emission stand in full, seconds.
    pub from_s: f64,
    /// Arrivals after this time are left out, seconds.
    pub to_s: f64,
}

/// Peak energy of the unobstructed direct sound behind each filter of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceLevel {
    /// Over 1–8 kHz.
    pub peak: f64,
    /// In each octave band.
    pub band_peak: PerBand<f64>,
}

/// The longest window, seconds.
const FADE_S: f64 = 0.025;

impl EarlyResponse {
    /// The response of arrivals that hold every path up to `followed_s` after emission.
    ///
    /// `direct` is the unobstructed direct sound, the reference; it is part of the response only
    /// when it is among `arrivals`.
    pub fn new(
        arrivals: &[Arrival],
        direct: &Arrival,
        grid: &FrequencyGrid,
        speed_of_sound_m_s: f64,
        followed_s: f64,
    ) -> Self {
        let window = TruncationWindow {
            from_s: followed_s - FADE_S.min(followed_s / 4.0),
            to_s: followed_s,
        };
        let time_s = |arrival: &Arrival| arrival.distance_m / speed_of_sound_m_s;
        // In a very thin room the images that can be afforded may end before the direct sound.
        let duration_s = followed_s.max(time_s(direct)) + RING_S;
        // What rings before emission comes to lie at the far end of the ring, and is cut off there.
        let ring_s = duration_s + RING_S;
        let sum = |arrivals: &[Arrival], weight: &dyn Fn(&Arrival) -> f64| {
            let timed = arrivals.iter().map(|arrival| TimedArrival {
                arrival,
                time_s: time_s(arrival),
                weight: weight(arrival),
            });
            Spectrum::sum(timed, grid, ring_s)
        };
        let all = sum(arrivals, &|arrival| window.weight(time_s(arrival)));
        let alone = sum(std::slice::from_ref(direct), &|_| 1.0);
        Self {
            response: all.response(duration_s),
            window,
            reference: ReferenceLevel::new(&alone),
            arrivals: arrivals
                .iter()
                .filter(|arrival| time_s(arrival) <= window.from_s)
                .map(|arrival| EtcArrival::new(arrival, direct, speed_of_sound_m_s))
                .collect(),
        }
    }
}

impl TruncationWindow {
    /// What is left of the pressure of an arrival at this time after emission in seconds.
    pub fn weight(&self, time_s: f64) -> f64 {
        let share = ((self.to_s - time_s) / (self.to_s - self.from_s)).clamp(0.0, 1.0);
        (FRAC_PI_2 * share).sin().powi(2)
    }
}

impl ReferenceLevel {
    fn new(direct: &Spectrum) -> Self {
        let peak = |filter: &dyn Fn(f64) -> f64, smoothing_s: f64| {
            direct.envelope_energy(filter, smoothing_s).into_iter().fold(0.0, f64::max)
        };
        Self {
            peak: peak(&curve_filter, smoothing_s(None)),
            band_peak: std::array::from_fn(|band| {
                peak(&|hz| octave_filter(band, hz), smoothing_s(Some(band)))
            }),
        }
    }
}
