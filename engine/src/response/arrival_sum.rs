//! Arrivals summed at every frequency of a response, energy and delay of each kept.
//!
//! An arrival's pressure is known at the points of the inner grid. Between two of them its phase
//! turns evenly, the short way. Within a band its energy goes straight from point to point; a last
//! factor gives the band exactly the energy that its points say. So every band keeps what the list
//! says of it even where the phase turns fast, as beside a speaker's axis, where a mean of pressures
//! would cancel. Below the grid the first point goes on, above it the last one, with the delay of
//! the last band.

use super::impulse::SAMPLE_RATE_HZ;
use crate::image_source::Arrival;
use crate::medium::bands::{BAND_COUNT, FrequencyGrid};
use crate::numerics::simd_dispatch::{Kernel, dispatch_simd};
use num_complex::Complex64;
use std::f64::consts::{FRAC_PI_2, SQRT_2, TAU};

/// From here to the Nyquist frequency responses fade, hertz, so that an arrival between two samples
/// does not ring on for long.
const FADE_FROM_HZ: f64 = 20_000.0;

/// Below this responses fall off as a loudspeaker in a closed box does, hertz: two octaves under the
/// lowest band. The sum of thousands of images at 0 Hz would leave an offset behind.
const FALL_HZ: f64 = 10.0;

/// Bins whose phases are turned side by side.
const LANES: usize = 8;

/// An arrival as it stands in a response.
#[derive(Debug, Clone, Copy)]
pub struct TimedArrival<'a> {
    /// The arrival.
    pub arrival: &'a Arrival,
    /// Time after emission, seconds.
    pub time_s: f64,
    /// Weight on its pressure.
    pub weight: f64,
}

/// The positive-frequency half, 0 Hz to the Nyquist frequency, of the sum of arrivals in a ring of so
/// many samples.
pub(super) fn summed<'a>(
    arrivals: impl Iterator<Item = TimedArrival<'a>>,
    grid: &FrequencyGrid,
    length: usize,
) -> Vec<Complex64> {
    let count = length / 2 + 1;
    let hz_per_bin = SAMPLE_RATE_HZ / length as f64;
    let ranges = BinRange::between(grid.hz(), hz_per_bin, count);
    let mut sum =
        SpectrumSum { re: vec![0.0; count], im: vec![0.0; count], level: vec![0.0; count] };
    let mut steps = Vec::new();
    for timed in arrivals {
        let points = GridPressure::of(timed.arrival, grid.hz());
        steps.clear();
        steps.extend(ranges.iter().map(|range| points.turn(range, &timed, hz_per_bin)));
        dispatch_simd(Accumulate { sum: &mut sum, steps: &steps });
    }
    let bins = sum.re.iter().zip(&sum.im).enumerate();
    bins.map(|(bin, (&re, &im))| Complex64::new(re, im) * band_limit(bin as f64 * hz_per_bin))
        .collect()
}

/// Band limits of a response, a factor on pressure at a frequency in hertz: a fade toward the Nyquist
/// frequency and a Butterworth high-pass of second order.
pub(crate) fn band_limit(hz: f64) -> Complex64 {
    let share = (SAMPLE_RATE_HZ / 2.0 - hz) / (SAMPLE_RATE_HZ / 2.0 - FADE_FROM_HZ);
    let fade = (FRAC_PI_2 * share.clamp(0.0, 1.0)).sin().powi(2);
    let s = Complex64::new(0.0, hz / FALL_HZ);
    s * s / (s * s + SQRT_2 * s + 1.0) * fade
}

/// Bins between two points of the grid, as far as they lie in one band, or beyond its ends.
#[derive(Debug, Clone, Copy)]
struct BinRange {
    first: usize,
    end: usize,
    /// The points between which the phase turns; the same one beyond the ends of the grid.
    phase: [usize; 2],
    /// The points between which the energy goes; the same one at the ends of a band.
    energy: [usize; 2],
}

impl BinRange {
    fn between(hz: &[f64], hz_per_bin: f64, count: usize) -> Vec<Self> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "within a spectrum"
        )]
        let bin = |hz: f64| ((hz / hz_per_bin).ceil() as usize).min(count);
        let last = hz.len() - 1;
        let mut all = vec![Self::new([0, bin(hz[0])], [0, 0], [0, 0])];
        for i in 0..last {
            let [from, to] = [hz[i], hz[i + 1]].map(bin);
            let band = FrequencyGrid::band_of(i + 1);
            if FrequencyGrid::band_of(i) == band {
                all.push(Self::new([from, to], [i, i + 1], [i, i + 1]));
            } else {
                let edge = bin(FrequencyGrid::band_steps_hz(band).0);
                all.push(Self::new([from, edge], [i, i + 1], [i, i]));
                all.push(Self::new([edge, to], [i, i + 1], [i + 1, i + 1]));
            }
        }
        all.push(Self::new([bin(hz[last]), count], [last, last], [last, last]));
        all.retain(|range| range.first < range.end);
        all
    }

    fn new([first, end]: [usize; 2], phase: [usize; 2], energy: [usize; 2]) -> Self {
        Self { first, end, phase, energy }
    }
}

/// An arrival at the points of the grid.
struct GridPressure<'a> {
    hz: &'a [f64],
    pressure: &'a [Complex64],
    /// Energy at each point, as it stands in the response.
    energy: Vec<f64>,
    /// Delay beyond that of the path, over the last band, seconds.
    last_delay_s: f64,
}

impl<'a> GridPressure<'a> {
    fn of(arrival: &'a Arrival, hz: &'a [f64]) -> Self {
        let pressure = &arrival.pressure;
        let mut energy: Vec<f64> = pressure.iter().map(Complex64::norm_sqr).collect();
        let bands = energy.chunks_mut(FrequencyGrid::POINTS_PER_BAND).enumerate();
        for (band, energy) in bands {
            let between = energy_between(band, energy, hz);
            if between > 0.0 {
                let factor = arrival.band_energy[band] / between;
                for energy in energy {
                    *energy *= factor;
                }
            }
        }
        let last = &pressure[pressure.len() - FrequencyGrid::POINTS_PER_BAND..];
        let turned: Complex64 = last.windows(2).map(|two| two[1] * two[0].conj()).sum();
        let (_, step_hz) = FrequencyGrid::band_steps_hz(BAND_COUNT - 1);
        Self { hz, pressure, energy, last_delay_s: -turned.arg() / (TAU * step_hz) }
    }

    /// The arrival in a range of bins.
    fn turn(&self, range: &BinRange, timed: &TimedArrival<'_>, hz_per_bin: f64) -> PhasorStep {
        let from_hz = range.first as f64 * hz_per_bin;
        let wide_hz = |[low, high]: [usize; 2]| self.hz[high] - self.hz[low];
        // Radians a hertz beside the time of travel.
        let [low, high] = range.phase;
        let own = match wide_hz(range.phase) {
            wide_hz if wide_hz > 0.0 => {
                (self.pressure[high] * self.pressure[low].conj()).arg() / wide_hz
            }
            _ if range.first == 0 => 0.0,
            _ => -TAU * self.last_delay_s,
        };
        let travel = -TAU * timed.time_s;
        let phase = self.pressure[low].arg() + own * (from_hz - self.hz[low]) + travel * from_hz;
        let [below, above] = range.energy.map(|i| self.energy[i]);
        let wide_hz = wide_hz(range.energy);
        let slope = if wide_hz > 0.0 { (above - below) / wide_hz } else { 0.0 };
        PhasorStep {
            first: range.first,
            end: range.end,
            start: cis(phase) * timed.weight,
            step: cis((own + travel) * hz_per_bin),
            energy: below + slope * (from_hz - self.hz[range.energy[0]]),
            rise: slope * hz_per_bin,
        }
    }
}

/// Mean over a band, evenly in log frequency, of an energy that goes straight from point to point and
/// stays as it is at the ends; `hz` is the whole grid.
fn energy_between(band: usize, energy: &[f64], hz: &[f64]) -> f64 {
    let hz = &hz[band * FrequencyGrid::POINTS_PER_BAND..][..energy.len()];
    let (edge_hz, step_hz) = FrequencyGrid::band_steps_hz(band);
    let last = energy.len() - 1;
    let far_hz = edge_hz + energy.len() as f64 * step_hz;
    let ends = energy[0] * (hz[0] / edge_hz).ln() + energy[last] * (far_hz / hz[last]).ln();
    let inside: f64 = (0..last)
        .map(|i| {
            let slope = (energy[i + 1] - energy[i]) / step_hz;
            (energy[i] - slope * hz[i]) * (hz[i + 1] / hz[i]).ln() + slope * step_hz
        })
        .sum();
    (ends + inside) / (far_hz / edge_hz).ln()
}

fn cis(phase: f64) -> Complex64 {
    let (sin, cos) = libm::sincos(phase);
    Complex64::new(cos, sin)
}

/// An arrival in the bins of a range: energy and phase at its first, and what comes to them from
/// bin to bin.
#[derive(Debug, Clone, Copy)]
struct PhasorStep {
    first: usize,
    end: usize,
    start: Complex64,
    step: Complex64,
    energy: f64,
    rise: f64,
}

/// Real and imaginary parts of all bins, and room for the levels of one arrival.
struct SpectrumSum {
    re: Vec<f64>,
    im: Vec<f64>,
    level: Vec<f64>,
}

/// Adds one arrival.
struct Accumulate<'a> {
    sum: &'a mut SpectrumSum,
    steps: &'a [PhasorStep],
}

impl Kernel for Accumulate<'_> {
    type Output = ();

    #[inline(always)]
    fn run(self) {
        let SpectrumSum { re, im, level } = self.sum;
        for turn in self.steps {
            for (index, level) in level[turn.first..turn.end].iter_mut().enumerate() {
                *level = (turn.energy + index as f64 * turn.rise).max(0.0).sqrt();
            }
        }
        for turn in self.steps {
            let range = turn.first..turn.end;
            turn.add(&mut re[range.clone()], &mut im[range.clone()], &level[range]);
        }
    }
}

impl PhasorStep {
    #[inline(always)]
    fn add(&self, re: &mut [f64], im: &mut [f64], level: &[f64]) {
        let (mut x, mut y) = ([0.0; LANES], [0.0; LANES]);
        let mut ahead = self.start;
        for lane in 0..LANES {
            (x[lane], y[lane]) = (ahead.re, ahead.im);
            ahead *= self.step;
        }
        let leap = [1, 2, 4].iter().fold(self.step, |step, _| step * step);
        let mut at = 0;
        while at + LANES <= re.len() {
            let (re, im, level) =
                (&mut re[at..at + LANES], &mut im[at..at + LANES], &level[at..at + LANES]);
            for lane in 0..LANES {
                re[lane] += level[lane] * x[lane];
                im[lane] += level[lane] * y[lane];
                (x[lane], y[lane]) =
                    (x[lane] * leap.re - y[lane] * leap.im, x[lane] * leap.im + y[lane] * leap.re);
            }
            at += LANES;
        }
        for (lane, at) in (at..re.len()).enumerate() {
            re[at] += level[at] * x[lane];
            im[at] += level[at] * y[lane];
        }
    }
}
