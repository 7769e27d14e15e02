//! The transfer function from speaker to ear, summed from arrivals.

use super::arrival_sum::summed;
use super::impulse::ImpulseResponse;
use crate::image_source::Arrival;
use crate::medium::bands::FrequencyGrid;
use num_complex::Complex64;
use rustfft::{Fft, FftPlanner};
use std::f64::consts::PI;
use std::sync::Arc;

/// Sampling rate of all responses, hertz.
pub const SAMPLE_RATE_HZ: f64 = 48_000.0;

/// The positive-frequency half of the transfer function, 0 Hz to the Nyquist frequency, relative
/// to the speaker's pressure at 1 m on axis.
#[derive(Clone)]
pub struct Spectrum {
    bins: Vec<Complex64>,
    length: usize,
    forward: Arc<dyn Fft<f64>>,
    inverse: Arc<dyn Fft<f64>>,
}

/// An arrival as it stands in a response.
#[derive(Debug, Clone, Copy)]
pub struct TimedArrival<'a> {
    /// The arrival.
    pub arrival: &'a Arrival,
    /// When, seconds after emission.
    pub time_s: f64,
    /// Weight on its pressure.
    pub weight: f64,
}

impl Spectrum {
    /// Sums arrivals into a response of at least `duration_s`; what falls later is left out by the
    /// caller.
    ///
    /// Every arrival stands at its exact (fractional) time, and has in every band the energy that
    /// its pressures on the grid have.
    pub fn sum<'a>(
        arrivals: impl Iterator<Item = TimedArrival<'a>>,
        grid: &FrequencyGrid,
        duration_s: f64,
    ) -> Self {
        let length = ring_length(duration_s);
        let mut planner = FftPlanner::new();
        let (forward, inverse) =
            (planner.plan_fft_forward(length), planner.plan_fft_inverse(length));
        Self { bins: summed(arrivals, grid, length), length, forward, inverse }
    }

    /// The spectrum of a response, in a ring of at least `duration_s`; what falls later is left out.
    pub fn of(response: &ImpulseResponse, duration_s: f64) -> Self {
        let length = ring_length(duration_s);
        let mut planner = FftPlanner::new();
        let forward = planner.plan_fft_forward(length);
        let mut bins: Vec<Complex64> = response.samples.iter().map(|&s| s.into()).collect();
        bins.resize(length, Complex64::ZERO);
        forward.process(&mut bins);
        bins.truncate(length / 2 + 1);
        Self { bins, length, forward, inverse: planner.plan_fft_inverse(length) }
    }

    /// The same behind a filter, whose factor on pressure `filter` gives at a frequency in hertz.
    #[must_use]
    pub fn filtered(mut self, filter: impl Fn(f64) -> Complex64) -> Self {
        let hz_per_bin = SAMPLE_RATE_HZ / self.length as f64;
        for (bin, value) in self.bins.iter_mut().enumerate() {
            *value *= filter(bin as f64 * hz_per_bin);
        }
        self
    }

    /// The sum of two spectra of the same length; of the other, what goes beyond is left out.
    #[must_use]
    pub fn plus(mut self, other: &Self) -> Self {
        for (sum, value) in self.bins.iter_mut().zip(&other.bins) {
            *sum += value;
        }
        self
    }

    /// The response itself, for `duration_s` after emission; what rings before emission is cut off.
    pub fn response(&self, duration_s: f64) -> ImpulseResponse {
        let mut signal = vec![Complex64::ZERO; self.length];
        for (out, value) in signal.iter_mut().zip(&self.bins).skip(1).take(self.length / 2 - 1) {
            *out = value * 2.0 / self.length as f64;
        }
        self.inverse.process(&mut signal);
        let kept = samples(duration_s).min(self.length);
        ImpulseResponse { samples: signal[..kept].iter().map(|value| value.re).collect() }
    }

    /// Squared magnitude of the analytic signal behind a zero-phase filter, at every sample,
    /// smoothed by a Hann window. `filter` gives the filter's amplitude at a frequency in hertz.
    pub fn envelope_energy(&self, filter: impl Fn(f64) -> f64, smoothing_s: f64) -> Vec<f64> {
        let mut signal = vec![Complex64::ZERO; self.length];
        for (bin, (out, value)) in signal.iter_mut().zip(&self.bins).enumerate() {
            let hz = bin as f64 * SAMPLE_RATE_HZ / self.length as f64;
            *out = value * filter(hz) * 2.0 / self.length as f64;
        }
        self.inverse.process(&mut signal);
        let energy = signal.iter().map(|s| s.norm_sqr().into()).collect();
        self.smoothed(energy, smoothing_s)
    }

    /// Moving mean under a Hann window, by way of the spectrum.
    fn smoothed(&self, mut signal: Vec<Complex64>, window_s: f64) -> Vec<f64> {
        let mut window = hann_about_zero(window_s, self.length);
        self.forward.process(&mut window);
        self.forward.process(&mut signal);
        for (value, weight) in signal.iter_mut().zip(&window) {
            *value *= weight / self.length as f64;
        }
        self.inverse.process(&mut signal);
        // Energy is not negative, though rounding far below it may be.
        signal.iter().map(|value| value.re.max(0.0)).collect()
    }
}

/// Samples in a time, seconds.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "positive and short")]
pub(crate) fn samples(duration_s: f64) -> usize {
    (duration_s * SAMPLE_RATE_HZ).ceil() as usize
}

/// Samples of a ring that holds a time in seconds, for a quick transform.
fn ring_length(duration_s: f64) -> usize {
    samples(duration_s).max(2).next_power_of_two()
}

/// A Hann window of sum one centred on sample 0 of a ring.
fn hann_about_zero(window_s: f64, length: usize) -> Vec<Complex64> {
    let half = window_s * SAMPLE_RATE_HZ / 2.0;
    let weight = |sample: usize| {
        let away = sample.min(length - sample) as f64;
        if away < half { (PI / 2.0 * away / half).cos().powi(2) } else { 0.0 }
    };
    let total: f64 = (0..length).map(weight).sum();
    (0..length).map(|sample| (weight(sample) / total).into()).collect()
}
