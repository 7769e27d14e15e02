//! The transfer function from speaker to ear, summed from arrivals.

use super::impulse::ImpulseResponse;
use crate::bands::FrequencyGrid;
use crate::image_sources::Arrival;
use num_complex::Complex64;
use rustfft::{Fft, FftPlanner};
use std::f64::consts::PI;
use std::ops::Range;
use std::sync::Arc;

/// Sampling rate of all responses, hertz.
pub const SAMPLE_RATE_HZ: f64 = 48_000.0;

/// Nodes in every octave between which an arrival's pressure factor is interpolated.
const NODES_PER_BAND: usize = 4;
const POINTS_PER_NODE: usize = FrequencyGrid::POINTS_PER_BAND / NODES_PER_BAND;

/// Half the length of the fractional-delay kernel, samples. What is kept lies below half the
/// Nyquist frequency, where sixteen taps under a Kaiser window are good to about 1e-4.
const HALF_KERNEL: i32 = 8;
const TAPS: usize = 16;
const KAISER_BETA: f64 = 9.0;

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
pub struct Placed<'a> {
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
    /// Every arrival stands at its exact (fractional) time in one delay line for each node of a
    /// coarse frequency grid, weighted by its factor there. Each line's spectrum is then taken
    /// with a triangular weight in log frequency about its node, which interpolates every
    /// arrival's factor linearly between nodes and leaves its delay exact.
    pub fn sum<'a>(
        arrivals: impl Iterator<Item = Placed<'a>>,
        grid: &FrequencyGrid,
        duration_s: f64,
    ) -> Self {
        let length = ring_length(duration_s);
        let nodes = grid.len() / POINTS_PER_NODE;
        let mut lines = vec![vec![Complex64::ZERO; length]; nodes];
        for Placed { arrival, time_s, weight } in arrivals {
            deposit(arrival, time_s * SAMPLE_RATE_HZ, weight, &mut lines);
        }

        let mut planner = FftPlanner::new();
        let forward = planner.plan_fft_forward(length);
        let mut bins = vec![Complex64::ZERO; length / 2 + 1];
        let node_hz: Vec<f64> = grid.hz().chunks(POINTS_PER_NODE).map(geometric_mean).collect();
        for (node, line) in lines.iter_mut().enumerate() {
            forward.process(line);
            let around = Triangle::about(&node_hz, node);
            let hz_per_bin = SAMPLE_RATE_HZ / length as f64;
            for bin in around.bins(hz_per_bin, bins.len()) {
                bins[bin] += line[bin] * around.weight(bin as f64 * hz_per_bin);
            }
        }
        Self { bins, length, forward, inverse: planner.plan_fft_inverse(length) }
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

/// Puts a weighted arrival at a fractional sample into every node's delay line.
fn deposit(arrival: &Arrival, at: f64, weight: f64, lines: &mut [Vec<Complex64>]) {
    #[expect(clippy::cast_possible_truncation, reason = "responses are short")]
    let first = at.floor() as i64 - i64::from(HALF_KERNEL) + 1;
    // No arrival comes within eight samples (6 cm) of emission but by a speaker in the ear; what
    // would fall before time zero there is left out.
    let skip = usize::try_from(first).unwrap_or(0);
    let taps: [f64; TAPS] = std::array::from_fn(|tap| kernel((skip + tap) as f64 - at));
    for (node, line) in lines.iter_mut().enumerate() {
        let points = &arrival.pressure[node * POINTS_PER_NODE..][..POINTS_PER_NODE];
        let mean = points.iter().sum::<Complex64>() / points.len() as f64;
        let factor = mean * arrival.air_energy[node / NODES_PER_BAND].sqrt() * weight;
        for (value, tap) in line.iter_mut().skip(skip).zip(taps) {
            *value += factor * tap;
        }
    }
}

/// A sinc under a Kaiser window, `offset` in samples.
fn kernel(offset: f64) -> f64 {
    let across = offset / f64::from(HALF_KERNEL);
    if across.abs() >= 1.0 {
        return 0.0;
    }
    let sinc = if offset == 0.0 { 1.0 } else { (PI * offset).sin() / (PI * offset) };
    sinc * bessel_i0(KAISER_BETA * (1.0 - across * across).sqrt()) / bessel_i0(KAISER_BETA)
}

/// Modified Bessel function of the first kind, order zero, by its power series.
fn bessel_i0(x: f64) -> f64 {
    let quarter = x * x / 4.0;
    let mut term = 1.0;
    let mut sum = 1.0;
    for k in 1..40 {
        term *= quarter / f64::from(k * k);
        sum += term;
    }
    sum
}

fn geometric_mean(hz: &[f64]) -> f64 {
    (hz.iter().map(|f| f.ln()).sum::<f64>() / hz.len() as f64).exp()
}

/// A node's share of every frequency (all in hertz): one at the node, falling to zero at its neighbours in log
/// frequency; one beyond the first and the last node.
struct Triangle {
    below: Option<f64>,
    at: f64,
    above: Option<f64>,
}

impl Triangle {
    fn about(nodes: &[f64], node: usize) -> Self {
        Self {
            below: node.checked_sub(1).map(|n| nodes[n]),
            at: nodes[node],
            above: nodes.get(node + 1).copied(),
        }
    }

    /// The bins it has a share in.
    fn bins(&self, hz_per_bin: f64, count: usize) -> Range<usize> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "within a spectrum"
        )]
        let bin = |hz: f64| ((hz / hz_per_bin) as usize + 1).min(count);
        self.below.map_or(0, bin)..self.above.map_or(count, bin)
    }

    fn weight(&self, hz: f64) -> f64 {
        let neighbour = if hz < self.at { self.below } else { self.above };
        neighbour.map_or(1.0, |other| (1.0 - (hz / self.at).ln() / (other / self.at).ln()).max(0.0))
    }
}
