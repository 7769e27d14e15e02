//! The bottom of an impulse response: the wave field below about the Schroeder frequency, images and
//! rays above it.
//!
//! Both are responses of the same microphone to the same speaker, so they are added with their phases:
//! `H = H_rays + w·(H_waves − H_rays)`, with a weight w of no phase that fades from one to nought over
//! the octave about the crossover, a raised cosine in log frequency. The two weights add up to one at
//! every frequency, so where both agree nothing changes.

use super::response::schroeder_hz;
use super::waves::{Waves, count_modes};
use super::{BassError, HIGHEST_HZ, LOWEST_HZ, MOST_MODES};
use crate::response::{ImpulseResponse, SAMPLE_RATE_HZ};
use crate::scene::{Scene, State};
use num_complex::Complex64;
use rustfft::FftPlanner;
use std::f64::consts::{FRAC_PI_2, SQRT_2};

/// The crossover lies no lower than this, hertz: below it there is nothing to cross over to.
const LOWEST_CROSSOVER_HZ: f64 = 40.0;
/// From the lowest frequency solved to this one the wave field fades in, hertz: speakers end there.
const FADED_IN_HZ: f64 = 4.0 * LOWEST_HZ;
/// What a crossing rings before emission and after the end of a response, seconds.
const RING_S: f64 = 0.08;

/// The wave field of pairs of speakers and listeners, on the lines of a Fourier transform.
#[derive(Debug, Clone, PartialEq)]
pub struct Deep {
    /// Waves below, images and rays above, hertz.
    pub crossover_hz: f64,
    /// Samples of the transform.
    length: usize,
    /// The first line of it that is solved for.
    first: usize,
    /// For each pair, the pressure at every line from the first on.
    pairs: Vec<Vec<Complex64>>,
}

impl Deep {
    /// For responses of `duration_s` from speakers to listeners, by their indices in the scene. `None`
    /// in a room so large that its Schroeder frequency lies below all that is solved for, and in one
    /// where nothing absorbs and nothing ends a response.
    ///
    /// # Errors
    /// A pair names a speaker or listener the scene does not have.
    pub fn new(
        scene: &Scene,
        state: &State<'_>,
        pairs: &[[usize; 2]],
        duration_s: f64,
    ) -> Result<Option<Self>, BassError> {
        let Some(crossover_hz) = crossover_hz(scene, state) else { return Ok(None) };
        let length = whole((duration_s + 2.0 * RING_S) * SAMPLE_RATE_HZ).next_multiple_of(480);
        let spacing_hz = SAMPLE_RATE_HZ / length as f64;
        let first = whole((LOWEST_HZ / spacing_hz).ceil());
        let last = whole(crossover_hz * SQRT_2 / spacing_hz);
        let hz: Vec<f64> = (first..=last).map(|line| line as f64 * spacing_hz).collect();
        let waves = Waves::new(scene, state, &hz)?;
        let at = |[speaker, listener]: [usize; 2]| {
            Some((scene.speakers().get(speaker)?.at, scene.listeners().get(listener)?.at))
        };
        let places: Vec<_> = pairs
            .iter()
            .map(|&pair| at(pair))
            .collect::<Option<_>>()
            .ok_or(BassError::NoSuchPlace)?;
        let sources: Vec<_> = places.iter().map(|(source, _)| *source).collect();
        let receivers: Vec<_> = places.iter().map(|(_, receiver)| *receiver).collect();
        let (sources, from) = once(&sources);
        let (receivers, to) = once(&receivers);
        let tones = waves.pressure(&sources, &receivers);
        let of = |pair: usize| tones.iter().map(|tone| tone[from[pair]][to[pair]]).collect();
        let pairs = (0..pairs.len()).map(of).collect();
        Ok(Some(Self { crossover_hz, length, first, pairs }))
    }

    /// What a response gains by the wave field of a pair, by its place among those asked for: to be
    /// added to it, and to that of each ear, which below the crossover hear nearly the same.
    pub fn gain(&self, pair: usize, response: &ImpulseResponse) -> ImpulseResponse {
        let Some(pressure) = self.pairs.get(pair) else { return ImpulseResponse::default() };
        let mut planner = FftPlanner::new();
        let mut ring: Vec<Complex64> =
            response.samples.iter().take(self.length).map(|&sample| sample.into()).collect();
        ring.resize(self.length, Complex64::ZERO);
        planner.plan_fft_forward(self.length).process(&mut ring);
        let mut gain = vec![Complex64::ZERO; self.length];
        for (line, waves) in (self.first..).zip(pressure) {
            let hz = line as f64 * SAMPLE_RATE_HZ / self.length as f64;
            gain[line] = self.weight(hz) * (waves - ring[line]) * (2.0 / self.length as f64);
        }
        planner.plan_fft_inverse(self.length).process(&mut gain);
        // The end of the ring is what rings before emission.
        let kept = self.length - whole(RING_S * SAMPLE_RATE_HZ);
        ImpulseResponse { samples: gain.into_iter().take(kept).map(|value| value.re).collect() }
    }

    /// How much the wave field counts at a frequency.
    pub fn weight(&self, hz: f64) -> f64 {
        let rising = |octaves: f64, over: f64| {
            let share = (octaves / over).clamp(0.0, 1.0);
            (FRAC_PI_2 * share).sin().powi(2)
        };
        if hz <= 0.0 {
            return 0.0;
        }
        let below = rising((self.crossover_hz * SQRT_2 / hz).log2(), 1.0);
        let above = rising((hz / LOWEST_HZ).log2(), (FADED_IN_HZ / LOWEST_HZ).log2());
        below * above
    }
}

/// The Schroeder frequency, as far up as the wave field is solved.
fn crossover_hz(scene: &Scene, state: &State<'_>) -> Option<f64> {
    let mut hz = schroeder_hz(scene, state)?.min(HIGHEST_HZ / SQRT_2);
    while MOST_MODES < count_modes(scene, hz * SQRT_2) {
        hz *= 0.9;
    }
    (LOWEST_CROSSOVER_HZ <= hz).then_some(hz)
}

/// Each point once, and where each of those given stands among them.
fn once(points: &[glam::DVec3]) -> (Vec<glam::DVec3>, Vec<usize>) {
    let mut distinct: Vec<glam::DVec3> = Vec::new();
    let places = points.iter().map(|point| {
        distinct.iter().position(|known| known == point).unwrap_or_else(|| {
            distinct.push(*point);
            distinct.len() - 1
        })
    });
    let places = places.collect();
    (distinct, places)
}

/// The whole number below a number that is not negative.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "positive, and a response lasts seconds"
)]
fn whole(number: f64) -> usize {
    number as usize
}
