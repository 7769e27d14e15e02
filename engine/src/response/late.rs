//! The late response: noise with the energy of scattered and late sound.

use super::filters::smoothing_s;
use super::impulse::{ImpulseResponse, SAMPLE_RATE_HZ, samples};
use crate::medium::bands::{BAND_COUNT, PerBand, edges_hz};
use crate::ray_tracing::Stream;
use crate::scene::{ListenerId, SpeakerId};
use num_complex::Complex64;
use rustfft::FftPlanner;
use std::f64::consts::{FRAC_PI_2, TAU};

/// Energy against time that no single path stands for.
#[derive(Debug, Clone, PartialEq)]
pub struct LateEnergy {
    /// Beginning of the first bin, seconds after emission.
    pub start_s: f64,
    /// Width of a bin, seconds.
    pub bin_s: f64,
    /// Energy in each bin, per band, relative to the speaker's own at 1 m on axis.
    pub bins: Vec<PerBand<f64>>,
}

impl LateEnergy {
    /// Noise that carries this energy, for `duration_s` after emission.
    ///
    /// One stretch of noise, white up to the Nyquist frequency, is cut into octave bands; each
    /// band is then led along the square root of its own energy. What is drawn is the phase of every
    /// line of its spectrum, so that no band holds more or less than it should. The energy is first
    /// smoothed over the time in which a band can change at all ([`smoothing_s`]), for steps faster
    /// than that would leak into other bands, and over a tenth of the time since the direct sound.
    pub fn noise(&self, duration_s: f64, draw: NoiseSeed) -> ImpulseResponse {
        let count = samples(duration_s);
        let length = count.max(2).next_power_of_two();
        let inverse = FftPlanner::new().plan_fft_inverse(length);
        // Lattices of rays draw from the same seed with small numbers: these are the largest there are.
        let mut stream = Stream::new(!draw.seed, !draw.number);
        let phases: Vec<f64> = (0..=length / 2).map(|_| f64::from(stream.next())).collect();
        let hz_per_line = SAMPLE_RATE_HZ / length as f64;
        let mut sum = vec![0.0; count];
        for band in 0..BAND_COUNT {
            let [low_hz, high_hz] = covered_hz(band);
            let mut noise = vec![Complex64::ZERO; length];
            for (line, &phase) in phases.iter().enumerate().skip(1) {
                if (low_hz..high_hz).contains(&(line as f64 * hz_per_line)) {
                    let (sin, cos) = libm::sincos(TAU * phase);
                    // The real part of this has variance 1 where every line is there.
                    noise[line] = Complex64::new(cos, sin) * (2.0 / (length as f64).sqrt());
                }
            }
            inverse.process(&mut noise);
            let envelope = Envelope::new(self, band);
            for (index, (sample, noise)) in sum.iter_mut().zip(&noise).enumerate() {
                *sample += envelope.at(index as f64 / SAMPLE_RATE_HZ) * noise.re;
            }
        }
        ImpulseResponse { samples: sum }
    }
}

impl LateEnergy {
    /// Mean over all draws of the squared magnitude of the noise's analytic signal behind a zero-phase filter,
    /// at so many times a step in seconds apart from emission on. `filter` gives the filter's amplitude at a
    /// frequency in hertz.
    pub(super) fn mean_envelope_energy(
        &self,
        filter: impl Fn(f64) -> f64,
        step_s: f64,
        count: usize,
    ) -> Vec<f64> {
        let mut sum = vec![0.0; count];
        for band in 0..BAND_COUNT {
            // The real part holds half of the energy, spread evenly up to the Nyquist frequency.
            let gain = 2.0 * power_gain_hz(&filter, covered_hz(band)) / (SAMPLE_RATE_HZ / 2.0);
            let envelope = Envelope::new(self, band);
            for (index, energy) in sum.iter_mut().enumerate().filter(|_| 0.0 < gain) {
                *energy += gain * envelope.at(index as f64 * step_s).powi(2);
            }
        }
        sum
    }
}

/// Integral of a filter's squared amplitude between two frequencies, hertz.
fn power_gain_hz(filter: impl Fn(f64) -> f64, [low_hz, high_hz]: [f64; 2]) -> f64 {
    let parts: u32 = 1024;
    let step_hz = (high_hz - low_hz) / f64::from(parts);
    let middle_hz = |part: u32| low_hz + step_hz * (f64::from(part) + 0.5);
    (0..parts).map(|part| filter(middle_hz(part)).powi(2) * step_hz).sum()
}

/// Seed of a realisation of noise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoiseSeed {
    /// Seed of the random numbers.
    pub seed: u64,
    /// Number of the noise; noises of different numbers are independent.
    pub number: u64,
}

impl NoiseSeed {
    /// Seed of a pair's noise, of a speaker and a listener; of different `channel`s, below 256, where
    /// it needs several.
    ///
    /// Left and right speaker, and neighbouring seats, get independent noises, as late sound is at
    /// places more than a wavelength apart.
    pub fn of_pair(seed: u64, (speaker, listener): (SpeakerId, ListenerId), channel: u8) -> Self {
        let (speaker, listener) = (speaker.index() as u64, listener.index() as u64);
        Self { seed, number: speaker << 32 | u64::from(channel) << 24 | listener }
    }
}

/// Late sound is smoothed over this part of the time since the direct sound. By then so many paths
/// have mixed that what still stands out is chance, of rays or of a draw.
const WIDENING: f64 = 0.1;

/// The part of the spectrum that takes a band's level: its octave, and for the outermost bands
/// all that lies beyond.
fn covered_hz(band: usize) -> [f64; 2] {
    let [low, high] = edges_hz(band);
    let is_last = band + 1 == BAND_COUNT;
    [if band == 0 { 0.0 } else { low }, if is_last { SAMPLE_RATE_HZ / 2.0 } else { high }]
}

/// Root mean square of a band's noise against time.
struct Envelope {
    start_s: f64,
    bin_s: f64,
    /// Mean square of a sample in each bin.
    power: Vec<f64>,
}

impl Envelope {
    fn new(late: &LateEnergy, band: usize) -> Self {
        let energy: Vec<f64> = late.bins.iter().map(|bin| bin[band]).collect();
        let per_sample = 1.0 / (late.bin_s * SAMPLE_RATE_HZ);
        let power = smoothed(&energy, smoothing_s(Some(band)) / late.bin_s);
        let power = power.into_iter().map(|energy| energy * per_sample).collect();
        Self { start_s: late.start_s, bin_s: late.bin_s, power }
    }

    /// Straight between the middles of bins; nothing before the first begins.
    fn at(&self, time_s: f64) -> f64 {
        let bin = (time_s - self.start_s) / self.bin_s;
        if bin < 0.0 {
            return 0.0;
        }
        let place = (bin - 0.5).max(0.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "positive and short"
        )]
        let below = place as usize;
        let share = place - below as f64;
        let power = |bin: usize| self.power.get(bin).copied().unwrap_or(0.0);
        (power(below) * (1.0 - share) + power(below + 1) * share).sqrt()
    }
}

/// Energy spread under Hann windows, so many bins wide at first and wider with time. Energy that would
/// come to lie before the first bin is folded back: nothing arrives before the direct sound.
fn smoothed(energy: &[f64], narrowest: f64) -> Vec<f64> {
    let mut out = vec![0.0; energy.len()];
    for (from, &energy) in energy.iter().enumerate().filter(|(_, e)| **e > 0.0) {
        let half = narrowest.max(WIDENING * from as f64) / 2.0;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few hundred bins at most"
        )]
        let reach = (half.ceil() as usize).max(1) - 1;
        let weight = |away: usize| (FRAC_PI_2 * away as f64 / half).cos().powi(2);
        let total: f64 = weight(0) + 2.0 * (1..=reach).map(weight).sum::<f64>();
        out[from] += energy * weight(0) / total;
        for away in 1..=reach {
            let share = energy * weight(away) / total;
            let before = if away <= from { from - away } else { away - from - 1 };
            for to in [before, from + away] {
                if let Some(bin) = out.get_mut(to) {
                    *bin += share;
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const SEED: NoiseSeed = NoiseSeed { seed: 1, number: 0 };

    /// Half a second of noise that begins after 50 ms.
    fn noise(bin: PerBand<f64>, draw: NoiseSeed) -> Vec<f64> {
        let late = LateEnergy { start_s: 0.05, bin_s: 1e-3, bins: vec![bin; 450] };
        late.noise(0.5, draw).samples
    }

    fn energy(samples: &[f64]) -> f64 {
        samples.iter().map(|s| s * s).sum()
    }

    /// White noise of 1 in every band holds 1 in every bin, by the definition of a band's energy.
    #[test]
    fn energy_is_kept() {
        let samples = noise([1.0; BAND_COUNT], SEED);
        let start = 2400;
        assert!(energy(&samples[..start]) <= 0.0);
        assert!((energy(&samples[start..]) / 450.0 - 1.0).abs() < 0.02);
    }

    /// A band alone holds its share of the spectrum, its width over the Nyquist frequency, and leaves
    /// the others silent but for what the onset smears.
    #[test]
    fn a_band_stays_in_its_octave() {
        let mut bin = [0.0; BAND_COUNT];
        bin[4] = 1.0;
        let samples = noise(bin, SEED);
        let [low, high] = covered_hz(4);
        let share = (high - low) / (SAMPLE_RATE_HZ / 2.0);
        assert!((energy(&samples) / (450.0 * share) - 1.0).abs() < 0.1);
        let mut ring: Vec<Complex64> = samples.iter().map(|&s| s.into()).collect();
        ring.resize(32_768, Complex64::ZERO);
        FftPlanner::new().plan_fft_forward(32_768).process(&mut ring);
        let between = |low: f64, high: f64| {
            let hz = |line: usize| line as f64 / 32_768.0 * SAMPLE_RATE_HZ;
            let lines =
                ring.iter().enumerate().filter(|(line, _)| (low..high).contains(&hz(*line)));
            lines.map(|(_, value)| value.norm_sqr()).sum::<f64>()
        };
        let inside = between(low, high);
        for band in [1, 2, 6, 7] {
            let [low, high] = covered_hz(band);
            let share = between(low, high) / inside;
            assert!(share < 1e-3, "band {band}: {share}");
        }
    }

    /// Noises of different numbers do not know each other: correlation below four standard errors
    /// of as many independent samples.
    #[test]
    fn numbers_part_noises() {
        let [a, b] = [0, 1].map(|number| noise([1.0; BAND_COUNT], NoiseSeed { number, ..SEED }));
        let together: f64 = a.iter().zip(&b).map(|(a, b)| a * b).sum();
        let correlation = together / (energy(&a) * energy(&b)).sqrt();
        assert!(correlation.abs() < 4.0 / (0.45 * SAMPLE_RATE_HZ).sqrt(), "{correlation}");
    }

    /// Spreading moves energy and neither makes nor loses any, up to what runs off the end.
    #[test]
    fn spreading_keeps_energy() {
        let mut energy = vec![0.0; 2000];
        (energy[0], energy[3], energy[700]) = (1.0, 2.0, 3.0);
        for narrowest in [1.0, 4.0, 32.0] {
            let spread = smoothed(&energy, narrowest);
            assert!((spread.iter().sum::<f64>() - 6.0).abs() < 1e-12);
        }
    }
}
