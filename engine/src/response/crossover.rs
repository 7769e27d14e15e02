//! The bottom of an impulse response: the wave field below about the Schroeder frequency, images and
//! rays above it.
//!
//! They are joined as the ways of a loudspeaker are, by the filters of Linkwitz and Riley (1976) of the
//! eighth order: both are half as large where they cross, in phase with each other at every frequency,
//! and add up to the whole with nothing but phase turned about the crossover. They are causal: nothing
//! rings before it sounds.

use crate::response::{ImpulseResponse, SAMPLE_RATE_HZ};
use crate::scene::{Scene, Variant};
use crate::wave_field::{
    BoundarySolver, HIGHEST_HZ, MAX_MODES, WaveFieldError, count_modes, schroeder_hz,
};
use glam::DVec3;
use num_complex::Complex64;
use rustfft::FftPlanner;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The crossover lies no lower than this, hertz: below it there is nothing to cross over to.
const LOWEST_CROSSOVER_HZ: f64 = 40.0;
/// The wave field ends at its bottom as a speaker does: fourth order, a quarter of it left here, hertz.
/// A room as tight as this one would let pressure rise without end below.
const BOTTOM_HZ: f64 = 12.0;
/// What is left far below fades out between these, hertz, without turning phase.
const FADED_IN_HZ: [f64; 2] = [3.0, 6.0];
/// It is solved up to so many times the crossover, where less than 1 % of it is left.
const SOLVED_TO: f64 = 1.8;
/// Half the distance over which a slope of pressure is taken, metres: 0.1 % off at 500 Hz.
const SLOPE_M: f64 = 0.01;
/// What a crossing rings after the end of a response, seconds.
const RING_S: f64 = 0.1;

/// The wave field of pairs of speakers and listeners, on the lines of a Fourier transform.
#[derive(Debug, Clone, PartialEq)]
pub struct LowFrequencyResponse {
    /// Waves below, images and rays above, hertz.
    pub crossover_hz: f64,
    /// Samples of the transform.
    length: usize,
    /// The first line of it that is solved for.
    first: usize,
    /// For each pair, the pressure at every line from the first on.
    pairs: Vec<Vec<Complex64>>,
}

impl LowFrequencyResponse {
    /// For responses of `duration_s` from speakers to listeners, by their indices in the scene. `None`
    /// in a room so large that its Schroeder frequency lies below all that is solved for, and in one
    /// where nothing absorbs and nothing ends a response.
    ///
    /// # Errors
    /// A pair names a speaker or listener the scene does not have.
    pub fn new(
        scene: &Scene,
        state: &Variant<'_>,
        pairs: &[[usize; 2]],
        duration_s: f64,
    ) -> Result<Option<Self>, WaveFieldError> {
        let places = places(scene, pairs)?;
        Ok(Self::between(scene, state, &places, duration_s))
    }

    /// The same with four entries for each pair, what a first-order microphone there gives: the pressure,
    /// and from the left, from above and from ahead, as the listener faces, the speed of the air.
    ///
    /// Euler's equation makes that speed from the slope of the pressure, `v = −∇p/(jωρ)` (Kuttruff, Room
    /// Acoustics, from memory), times −ρc: a sound from straight ahead on the axis, far from its source,
    /// then has as much of it as of pressure. Near a source there is more, as there is in a microphone.
    ///
    /// # Errors
    /// As [`LowFrequencyResponse::new`].
    pub fn first_order(
        scene: &Scene,
        state: &Variant<'_>,
        pairs: &[[usize; 2]],
        duration_s: f64,
    ) -> Result<Option<Self>, WaveFieldError> {
        let mut around = Vec::new();
        for (&[_, listener], (source, head)) in pairs.iter().zip(places(scene, pairs)?) {
            let [ahead, left, up] = scene.listeners()[listener].frame();
            around.push((source, head));
            for axis in [left, up, ahead] {
                around.extend([1.0, -1.0].map(|way| (source, head + way * SLOPE_M * axis)));
            }
        }
        let Some(mut deep) = Self::between(scene, state, &around, duration_s) else {
            return Ok(None);
        };
        let speed = scene.air().speed_of_sound_m_s();
        let spacing_hz = SAMPLE_RATE_HZ / deep.length as f64;
        let first = deep.first;
        let slope = |[plus, minus]: [&Vec<Complex64>; 2]| -> Vec<Complex64> {
            let both = plus.iter().zip(minus).zip(first..);
            both.map(|((plus, minus), line)| {
                let k = TAU * line as f64 * spacing_hz / speed;
                (plus - minus) / Complex64::new(0.0, 2.0 * SLOPE_M * k)
            })
            .collect()
        };
        let entries = deep.pairs.chunks_exact(7).flat_map(|points| {
            let axes = [1, 3, 5].map(|i| slope([&points[i], &points[i + 1]]));
            [vec![points[0].clone()], axes.to_vec()].concat()
        });
        deep.pairs = entries.collect();
        Ok(Some(deep))
    }

    /// From some points to others.
    fn between(
        scene: &Scene,
        state: &Variant<'_>,
        places: &[(DVec3, DVec3)],
        duration_s: f64,
    ) -> Option<Self> {
        let crossover_hz = crossover_hz(scene, state)?;
        let length = whole((duration_s + 2.0 * RING_S) * SAMPLE_RATE_HZ).next_multiple_of(480);
        let spacing_hz = SAMPLE_RATE_HZ / length as f64;
        let first = whole((FADED_IN_HZ[0] / spacing_hz).ceil()).max(1);
        let last = whole(crossover_hz * SOLVED_TO / spacing_hz);
        let hz: Vec<f64> = (first..=last).map(|line| line as f64 * spacing_hz).collect();
        let solver = BoundarySolver::new(scene, state, &hz);
        let sources: Vec<_> = places.iter().map(|(source, _)| *source).collect();
        let receivers: Vec<_> = places.iter().map(|(_, receiver)| *receiver).collect();
        let (sources, from) = once(&sources);
        let (receivers, to) = once(&receivers);
        let tones = solver.field(&sources, &receivers);
        let of =
            |pair: usize| tones.iter().map(|tone| tone.pressure[from[pair]][to[pair]]).collect();
        let pairs = (0..places.len()).map(of).collect();
        Some(Self { crossover_hz, length, first, pairs })
    }

    /// The same for responses that begin so long before emission, seconds.
    #[must_use]
    pub fn delayed(mut self, lead_s: f64) -> Self {
        let spacing_hz = SAMPLE_RATE_HZ / self.length as f64;
        for (place, line) in (self.first..).enumerate() {
            if self.pairs.iter().all(|waves| waves.len() <= place) {
                break;
            }
            let turned = Complex64::cis(-TAU * line as f64 * spacing_hz * lead_s);
            for value in self.pairs.iter_mut().filter_map(|waves| waves.get_mut(place)) {
                *value *= turned;
            }
        }
        self
    }

    /// A response with the wave field of an entry at its bottom, by its place among those asked for.
    /// That of an ear may be given too: below the crossover ears hear nearly what is between them.
    #[must_use]
    pub fn splice(&self, entry: usize, response: &ImpulseResponse) -> ImpulseResponse {
        let waves = self.pairs.get(entry).map_or(&[][..], Vec::as_slice);
        let mut planner = FftPlanner::new();
        let mut ring: Vec<Complex64> =
            response.samples.iter().take(self.length).map(|&sample| sample.into()).collect();
        ring.resize(self.length, Complex64::ZERO);
        planner.plan_fft_forward(self.length).process(&mut ring);
        // Twice the real part of the positive half is the whole.
        let scale = 2.0 / self.length as f64;
        for (line, value) in ring.iter_mut().enumerate() {
            if self.length / 2 < line {
                *value = Complex64::ZERO;
                continue;
            }
            let place = line.checked_sub(self.first);
            let deep = place.and_then(|place| waves.get(place)).copied().unwrap_or_default();
            let [below, above] =
                self.crossover_gains(line as f64 * SAMPLE_RATE_HZ / self.length as f64);
            *value = (deep * below + *value * above) * scale;
        }
        planner.plan_fft_inverse(self.length).process(&mut ring);
        // The end of the ring is what rings before emission.
        let kept = self.length - whole(RING_S * SAMPLE_RATE_HZ);
        ImpulseResponse { samples: ring.into_iter().take(kept).map(|value| value.re).collect() }
    }

    /// What the wave field and what images and rays are multiplied with at a frequency.
    pub fn crossover_gains(&self, hz: f64) -> [Complex64; 2] {
        // Butterworth's second and fourth order, squared.
        let at = |corner_hz: f64| Complex64::new(0.0, hz / corner_hz);
        let quarter = |s: Complex64, turns: f64| s * s + 2.0 * (PI * turns).cos() * s + 1.0;
        let s = at(self.crossover_hz);
        let low = (quarter(s, 1.0 / 8.0) * quarter(s, 3.0 / 8.0)).powi(-2);
        let bottom = at(BOTTOM_HZ).powi(4) * quarter(at(BOTTOM_HZ), 1.0 / 4.0).powi(-2);
        let [from_hz, to_hz] = FADED_IN_HZ;
        let share = ((hz - from_hz) / (to_hz - from_hz)).clamp(0.0, 1.0);
        [low * bottom * (FRAC_PI_2 * share).sin().powi(2), low * s.powi(8)]
    }
}

/// The Schroeder frequency, as far up as the wave field is solved.
fn crossover_hz(scene: &Scene, state: &Variant<'_>) -> Option<f64> {
    let mut hz = schroeder_hz(scene, state)?.min(HIGHEST_HZ / SOLVED_TO);
    while MAX_MODES < count_modes(scene, hz * SOLVED_TO) {
        hz *= 0.9;
    }
    (LOWEST_CROSSOVER_HZ <= hz).then_some(hz)
}

/// Where pairs of speakers and listeners are.
fn places(scene: &Scene, pairs: &[[usize; 2]]) -> Result<Vec<(DVec3, DVec3)>, WaveFieldError> {
    let at = |&[speaker, listener]: &[usize; 2]| {
        Some((scene.speakers().get(speaker)?.at, scene.listeners().get(listener)?.at))
    };
    pairs.iter().map(at).collect::<Option<_>>().ok_or(WaveFieldError::UnknownPosition)
}

/// Each point once, and where each of those given stands among them.
fn once(points: &[DVec3]) -> (Vec<DVec3>, Vec<usize>) {
    let mut distinct: Vec<DVec3> = Vec::new();
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
