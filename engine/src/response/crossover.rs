//! Crossover of an impulse response from the wave field, below about the Schroeder frequency, to image
//! sources and rays above it.
//!
//! The two are joined by filters of linear phase and no delay whose gains add up to one at every frequency:
//! what both know alike, first of all the direct sound, stands where it was computed, in every band, and does
//! not ring. What only one of them knows rings before and after it, for about the inverse of the transition's
//! width: some 10 ms at the frequencies of small rooms.

use super::impulse::ImpulseResponse;
use super::impulse::SAMPLE_RATE_HZ;
use crate::medium::signal_chain::{LinkwitzRiley, SignalChain};
use crate::progress::Progress;
use crate::scene::{ListenerId, Scene, SpeakerId, Variant};
use crate::wave_field::{
    HIGHEST_HZ, MAX_MODES, SpeakerSources, WaveFieldError, WaveFieldSolver, mode_count,
    schroeder_hz,
};
use glam::DVec3;
use num_complex::Complex64;
use rustfft::FftPlanner;
use std::f64::consts::{FRAC_PI_2, TAU};

/// Least crossover frequency, hertz: below it there is nothing to cross over to.
const MIN_CROSSOVER_HZ: f64 = 40.0;
/// Corner of the fourth-order high-pass at the bottom of the wave field, −6 dB, hertz: as a speaker has
/// one. In a room as tight as this one the pressure would rise without limit below.
const HIGH_PASS_HZ: f64 = 12.0;
/// Frequencies between which the rest far below fades in, hertz, without a phase shift.
const FADE_IN_HZ: [f64; 2] = [3.0, 6.0];
/// Half the width of the transition, octaves: the wider, the shorter the ringing, and the more there is to
/// solve.
const TRANSITION_OCTAVES: f64 = 1.0 / 3.0;
/// Half the distance of the central difference of a pressure gradient, metres: 0.1 % off at 500 Hz.
const GRADIENT_STEP_M: f64 = 0.01;
/// Modes are followed until they have fallen by this, decibels: the lower end of T30 and its margin.
const DECAYED_DB: f64 = 45.0;
/// But no longer than this, seconds, unless a longer response is asked for: the more frequencies, the more work.
const LONGEST_S: f64 = 2.0;
/// Guard time for the ringing of the crossover at either end of a response, seconds.
const GUARD_S: f64 = 0.1;

/// Low-frequency part of impulse responses, as spectra of the wave field on the bins of a Fourier
/// transform.
#[derive(Debug, Clone, PartialEq)]
pub struct LowFrequencyResponse {
    /// Crossover frequency, hertz.
    pub crossover_hz: f64,
    /// Length of the transform, samples.
    length: usize,
    /// First bin that is solved for.
    first_bin: usize,
    /// Pressure of every entry at every bin from the first on.
    spectra: Vec<Vec<Complex64>>,
}

impl LowFrequencyResponse {
    /// Pressure from speakers to listeners, for responses of `duration_s` or longer, until the modes have died
    /// away. `None` in a room so large that its Schroeder frequency lies below the least crossover, and in one
    /// that does not absorb and whose responses do not end.
    ///
    /// # Errors
    /// A pair names a speaker or listener the scene does not have, and work that `progress` does not
    /// accept.
    pub fn new(
        scene: &Scene,
        variant: &Variant<'_>,
        pairs: &[(SpeakerId, ListenerId)],
        duration_s: f64,
        progress: &dyn Progress,
    ) -> Result<Option<Self>, WaveFieldError> {
        let positions = positions(scene, pairs)?;
        Self::between(scene, variant, &positions, duration_s, progress)
    }

    /// First-order microphone signals, four entries for each pair: the pressure, and the components of
    /// the particle velocity along left, up and ahead, as the listener faces.
    ///
    /// By Euler's equation the velocity is the gradient of the pressure, `v = −∇p/(jωρ)` (Kuttruff, Room
    /// Acoustics, from memory). It is scaled by −ρc: a plane wave from straight ahead then has the
    /// velocity of its pressure. Near a source there is more, as there is in a microphone.
    ///
    /// # Errors
    /// As [`LowFrequencyResponse::new`].
    pub fn first_order(
        scene: &Scene,
        variant: &Variant<'_>,
        pairs: &[(SpeakerId, ListenerId)],
        duration_s: f64,
        progress: &dyn Progress,
    ) -> Result<Option<Self>, WaveFieldError> {
        let mut points = Vec::new();
        for (&(_, listener), (speaker, head)) in pairs.iter().zip(positions(scene, pairs)?) {
            let [ahead, left, up] = scene[listener].frame();
            points.push((speaker, head));
            for axis in [left, up, ahead] {
                points.extend(
                    [1.0, -1.0].map(|sign| (speaker, head + sign * GRADIENT_STEP_M * axis)),
                );
            }
        }
        let Some(mut response) = Self::between(scene, variant, &points, duration_s, progress)?
        else {
            return Ok(None);
        };
        let speed = scene.air().speed_of_sound_m_s();
        let entries = response.spectra.chunks_exact(7).flat_map(|points| {
            let velocities =
                [1, 3, 5].map(|i| response.velocity([&points[i], &points[i + 1]], speed));
            [vec![points[0].clone()], velocities.to_vec()].concat()
        });
        response.spectra = entries.collect();
        Ok(Some(response))
    }

    /// Wave field from each speaker to its point.
    fn between(
        scene: &Scene,
        variant: &Variant<'_>,
        positions: &[(SpeakerId, DVec3)],
        duration_s: f64,
        progress: &dyn Progress,
    ) -> Result<Option<Self>, WaveFieldError> {
        let Some(crossover_hz) = crossover_hz(scene, variant) else { return Ok(None) };
        let longest_s = WaveFieldSolver::longest_decay_s(scene, variant, crossover_hz);
        let dies_away_s = DECAYED_DB / 60.0 * longest_s.unwrap_or(0.0);
        let duration_s = duration_s.max(dies_away_s.min(LONGEST_S));
        let length = floor((duration_s + 2.0 * GUARD_S) * SAMPLE_RATE_HZ).next_multiple_of(480);
        let bin_hz = SAMPLE_RATE_HZ / length as f64;
        let first_bin = floor((FADE_IN_HZ[0] / bin_hz).ceil()).max(1);
        let last_bin = floor(highest_hz(crossover_hz) / bin_hz);
        let hz: Vec<f64> = (first_bin..=last_bin).map(|bin| bin as f64 * bin_hz).collect();
        let solver = WaveFieldSolver::unlimited(scene, variant, &hz);
        let (speakers, source_of) = distinct(positions.iter().map(|(speaker, _)| *speaker));
        let (receivers, receiver_of) = distinct(positions.iter().map(|(_, receiver)| *receiver));
        let sources = SpeakerSources::unfiltered(scene, &speakers);
        let fields = solver
            .announced(progress)?
            .field(sources.points(), &receivers, &|| progress.advance(1));
        let pressure: Vec<Vec<Vec<Complex64>>> =
            hz.iter().zip(&fields).map(|(&hz, bin)| sources.combined(hz, &bin.pressure)).collect();
        let spectrum = |entry: usize| {
            let [source, receiver] = [source_of[entry], receiver_of[entry]];
            pressure.iter().map(|bin| bin[source][receiver]).collect()
        };
        let spectra = (0..positions.len()).map(spectrum).collect();
        Ok(Some(Self { crossover_hz, length, first_bin, spectra }))
    }

    /// The frequency up to which a response is that of the wave field alone, hertz.
    pub fn wave_field_alone_hz(&self) -> f64 {
        self.crossover_hz / TRANSITION_OCTAVES.exp2()
    }

    /// Time after emission that a response holds, seconds.
    pub fn duration_s(&self) -> f64 {
        self.length as f64 / SAMPLE_RATE_HZ - 2.0 * GUARD_S
    }

    /// Spacing of the bins, hertz.
    fn bin_hz(&self) -> f64 {
        SAMPLE_RATE_HZ / self.length as f64
    }

    /// Component of the particle velocity between two points, times −ρc.
    fn velocity(
        &self,
        [plus, minus]: [&Vec<Complex64>; 2],
        speed_of_sound_m_s: f64,
    ) -> Vec<Complex64> {
        let bin_hz = self.bin_hz();
        let pressures = plus.iter().zip(minus).zip(self.first_bin..);
        pressures
            .map(|((plus, minus), bin)| {
                let k = TAU * bin as f64 * bin_hz / speed_of_sound_m_s;
                (plus - minus) / Complex64::new(0.0, 2.0 * GRADIENT_STEP_M * k)
            })
            .collect()
    }

    /// Spectra delayed by a time in seconds, for responses that begin so long before emission.
    #[must_use]
    pub fn delayed(mut self, delay_s: f64) -> Self {
        let bin_hz = self.bin_hz();
        for (index, bin) in (self.first_bin..).enumerate() {
            if self.spectra.iter().all(|spectrum| spectrum.len() <= index) {
                break;
            }
            let shift = Complex64::cis(-TAU * bin as f64 * bin_hz * delay_s);
            for value in self.spectra.iter_mut().filter_map(|spectrum| spectrum.get_mut(index)) {
                *value *= shift;
            }
        }
        self
    }

    /// Response with the wave field of an entry below the crossover. An ear's response may be given for
    /// that of the middle of the head: below the crossover the two are nearly alike.
    #[must_use]
    pub fn splice(&self, entry: usize, response: &ImpulseResponse) -> ImpulseResponse {
        let low = self.spectra.get(entry).map_or(&[][..], Vec::as_slice);
        let mut planner = FftPlanner::new();
        let mut spectrum: Vec<Complex64> =
            response.samples.iter().take(self.length).map(|&sample| sample.into()).collect();
        spectrum.resize(self.length, Complex64::ZERO);
        planner.plan_fft_forward(self.length).process(&mut spectrum);
        // The signal is twice the real part of that of the positive frequencies.
        let scale = 2.0 / self.length as f64;
        for (bin, value) in spectrum.iter_mut().enumerate() {
            if self.length / 2 < bin {
                *value = Complex64::ZERO;
                continue;
            }
            let index = bin.checked_sub(self.first_bin);
            let low = index.and_then(|index| low.get(index)).copied().unwrap_or_default();
            let hz = bin as f64 * SAMPLE_RATE_HZ / self.length as f64;
            let [low_gain, high_gain] = self.crossover_gains(hz);
            *value = (low * low_gain + *value * high_gain) * scale;
        }
        planner.plan_fft_inverse(self.length).process(&mut spectrum);
        // The period of the transform ends with the ringing before emission.
        let kept = self.length - floor(GUARD_S * SAMPLE_RATE_HZ);
        ImpulseResponse { samples: spectrum.into_iter().take(kept).map(|value| value.re).collect() }
    }

    /// Gains of the wave field and of image sources and rays at a frequency in hertz.
    pub fn crossover_gains(&self, hz: f64) -> [Complex64; 2] {
        let octaves = (hz / self.crossover_hz).log2();
        let above = raised_cosine(octaves, [-TRANSITION_OCTAVES, TRANSITION_OCTAVES]);
        let end = SignalChain {
            high_pass: Some(LinkwitzRiley { hz: HIGH_PASS_HZ, order: 4 }),
            ..SignalChain::default()
        };
        let high_pass = if hz <= 0.0 { Complex64::ZERO } else { end.filters(hz) };
        [high_pass * raised_cosine(hz, FADE_IN_HZ) * (1.0 - above), above.into()]
    }
}

/// From nought to one between two ends, along half a period of a cosine.
fn raised_cosine(x: f64, [from, to]: [f64; 2]) -> f64 {
    let position = ((x - from) / (to - from)).clamp(0.0, 1.0);
    (FRAC_PI_2 * position).sin().powi(2)
}

/// Highest frequency of the wave field below a crossover, hertz.
fn highest_hz(crossover_hz: f64) -> f64 {
    crossover_hz * TRANSITION_OCTAVES.exp2()
}

/// Most cosines on the surfaces below a crossover, fewer than a request for the bass itself may take: a
/// response needs hundreds of frequencies.
const MAX_CROSSOVER_FUNCTIONS: usize = 1500;

/// Schroeder frequency, hertz, or the highest frequency that the wave field can be solved for with its
/// margin above the crossover.
fn crossover_hz(scene: &Scene, variant: &Variant<'_>) -> Option<f64> {
    let speed = scene.air().speed_of_sound_m_s();
    let mut hz = schroeder_hz(scene, variant)?.min(HIGHEST_HZ / highest_hz(1.0));
    let is_too_much = |hz: f64| {
        MAX_MODES < mode_count(scene.room(), hz, speed)
            || MAX_CROSSOVER_FUNCTIONS < WaveFieldSolver::surface_functions(scene, hz)
    };
    while is_too_much(highest_hz(hz)) {
        hz *= 0.9;
    }
    (MIN_CROSSOVER_HZ <= hz).then_some(hz)
}

/// The speakers of pairs with the positions of their listeners.
fn positions(
    scene: &Scene,
    pairs: &[(SpeakerId, ListenerId)],
) -> Result<Vec<(SpeakerId, DVec3)>, WaveFieldError> {
    let of_pair = |&(speaker, listener): &(SpeakerId, ListenerId)| {
        scene.speaker(speaker)?;
        Some((speaker, scene.listener(listener)?.at))
    };
    pairs.iter().map(of_pair).collect::<Option<_>>().ok_or(WaveFieldError::UnknownPosition)
}

/// The distinct of some things, and the index among them of each.
fn distinct<T: PartialEq>(all: impl Iterator<Item = T>) -> (Vec<T>, Vec<usize>) {
    let mut distinct: Vec<T> = Vec::new();
    let indices = all.map(|one| {
        distinct.iter().position(|known| *known == one).unwrap_or_else(|| {
            distinct.push(one);
            distinct.len() - 1
        })
    });
    let indices = indices.collect();
    (distinct, indices)
}

/// Integer part of a number that is not negative.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "positive, and a response lasts seconds"
)]
fn floor(number: f64) -> usize {
    number as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    const LENGTH: usize = 24_000;
    const CROSSOVER_HZ: f64 = 181.0;

    /// Time of the greatest envelope of an octave, seconds: Hilbert's envelope, of a Gaussian about the middle of
    /// the octave, which has no delay of its own.
    fn envelope_peak_s(response: &ImpulseResponse, middle_hz: f64) -> f64 {
        let at = |hz: f64| -> Complex64 {
            let step = Complex64::cis(-TAU * hz / SAMPLE_RATE_HZ);
            response.samples.iter().rev().fold(Complex64::ZERO, |sum, sample| sum * step + sample)
        };
        let band: Vec<(f64, Complex64)> = (1..1000)
            .map(|step| 4.0 * f64::from(step))
            .take_while(|hz| *hz < 2.5 * middle_hz)
            .map(|hz| (hz, at(hz) * (-((hz / middle_hz - 1.0) / 0.35).powi(2)).exp()))
            .collect();
        let envelope = |time_s: f64| {
            let turned = |(hz, value): &(f64, Complex64)| value * Complex64::cis(TAU * hz * time_s);
            band.iter().map(turned).sum::<Complex64>().norm()
        };
        let times = (0..1500).map(|step| f64::from(step) * 1e-5);
        times.max_by(|a, b| envelope(*a).total_cmp(&envelope(*b))).unwrap_or_default()
    }

    /// A sound that wave field and images know alike stands where it was computed, in the octaves below, about and
    /// above the crossover; the end of the wave field at 12 Hz delays the lowest by half a millisecond.
    #[test]
    fn what_both_know_alike_stands_at_its_time() {
        let time_s = 7.8e-3;
        let click = |sample: usize| {
            let x = PI * (sample as f64 - time_s * SAMPLE_RATE_HZ);
            if x.abs() < 1e-9 { 1.0 } else { x.sin() / x }
        };
        let own = ImpulseResponse { samples: (0..9600).map(click).collect() };
        let bin_hz = SAMPLE_RATE_HZ / LENGTH as f64;
        let bins = 2..=floor(highest_hz(CROSSOVER_HZ) / bin_hz);
        let wave = bins.map(|bin| Complex64::cis(-TAU * bin as f64 * bin_hz * time_s)).collect();
        let low = LowFrequencyResponse {
            crossover_hz: CROSSOVER_HZ,
            length: LENGTH,
            first_bin: 2,
            spectra: vec![wave],
        };
        let whole = low.splice(0, &own);
        for (hz, allowed_s) in [(125.0, 6e-4), (250.0, 1.6e-4), (500.0, 5e-5), (1000.0, 5e-5)] {
            let late_s = envelope_peak_s(&whole, hz) - envelope_peak_s(&own, hz);
            assert!(late_s.abs() <= allowed_s, "{hz} Hz: {late_s} s");
        }
    }

    #[test]
    fn the_gains_add_up_to_one() {
        let low = LowFrequencyResponse {
            crossover_hz: CROSSOVER_HZ,
            length: LENGTH,
            first_bin: 2,
            spectra: Vec::new(),
        };
        for hz in [100.0, 140.0, 150.0, CROSSOVER_HZ, 200.0, 228.0, 400.0] {
            let [below, above] = low.crossover_gains(hz);
            // The end of the wave field at 12 Hz turns its phase a little.
            assert!((below.norm() + above.norm() - 1.0).abs() < 1e-3, "{hz} Hz: {below} {above}");
        }
        let [below, above] = low.crossover_gains(CROSSOVER_HZ);
        assert!((below.norm() - 0.5).abs() < 1e-3 && (above.norm() - 0.5).abs() < 1e-12);
    }
}
