//! Late sound, which comes from everywhere, at the ears and at a first-order microphone.

use super::head::{ear_delay_s, head_filter_parts, shadow_alpha};
use crate::numerics::quadrature::gauss_legendre;
use crate::response::{
    ImpulseResponse, LateEnergy, NoiseSeed, SAMPLE_RATE_HZ, Spectrum, band_limit,
};
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// Directions over which the head is averaged, from one ear's axis to the other's.
const DIRECTIONS: usize = 96;

/// Step of the table of shares, hertz: they change over hundreds of hertz and more.
const STEP_HZ: f64 = 10.0;

/// Filters reach so far ahead of what they filter, seconds.
const AHEAD_S: f64 = 0.02;

/// What the head does to sound that comes evenly from all directions.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DiffuseBinaural {
    speed_of_sound_m_s: f64,
    /// Root mean square of the shadow's α over all directions.
    alpha: f64,
    /// Pressure of the noise that both ears have and of the noise that parts them, as shares of
    /// the whole, from 0 Hz up in steps of [`STEP_HZ`].
    shares: Vec<[f64; 2]>,
}

impl DiffuseBinaural {
    pub(super) fn new(speed_of_sound_m_s: f64) -> Self {
        let steps = (0..).map(|i| f64::from(i) * STEP_HZ);
        let steps = steps.take_while(|hz| *hz <= SAMPLE_RATE_HZ / 2.0 + STEP_HZ);
        Self {
            speed_of_sound_m_s,
            alpha: over_all(|incidence, _| (shadow_alpha(incidence).powi(2)).into()).re.sqrt(),
            shares: steps.map(|hz| shares(coherence(hz, speed_of_sound_m_s))).collect(),
        }
    }

    /// Late sound at the left and the right ear. `together` and `apart` draw the noise that both
    /// have and the noise that parts them.
    ///
    /// The one that parts them is turned by a quarter of a period: its share rises from 0 Hz as the
    /// frequency itself, and so turned it does not ring.
    pub(super) fn ears(
        &self,
        late: &LateEnergy,
        duration_s: f64,
        [together, apart]: [NoiseSeed; 2],
    ) -> [ImpulseResponse; 2] {
        let spectrum = |draw: NoiseSeed, which: usize, turned: Complex64| {
            let noise = late.noise(duration_s, draw);
            Spectrum::of(&noise, duration_s + AHEAD_S).filtered(|hz| {
                let [around, shadowed] = head_filter_parts(hz, self.speed_of_sound_m_s);
                let ear = around + self.alpha * shadowed;
                // Turned phases must not reach the Nyquist frequency, where all are real.
                ear * turned * self.share(hz, which) * band_limit(hz)
            })
        };
        let both = spectrum(together, 0, Complex64::ONE);
        let difference = spectrum(apart, 1, Complex64::I);
        let right = difference.clone().filtered(|_| -Complex64::ONE).plus(&both);
        [both.plus(&difference), right].map(|ear| ear.response(duration_s))
    }

    /// A share at a frequency, from the table.
    fn share(&self, hz: f64, which: usize) -> f64 {
        let at = hz / STEP_HZ;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "within the table"
        )]
        let below = at as usize;
        let value = |i: usize| self.shares.get(i).map_or(0.0, |shares| shares[which]);
        value(below) + (at - below as f64) * (value(below + 1) - value(below))
    }
}

/// Pressures of two noises without relation that, one in phase at both ears and one against it, make
/// ears of this coherence and of energy 1.
fn shares(coherence: f64) -> [f64; 2] {
    [1.0, -1.0].map(|sign| f64::midpoint(1.0, sign * coherence).max(0.0).sqrt())
}

/// Coherence of the pressures at the two ears, −1 to 1, in sound that comes evenly from all
/// directions without relation between them: the mean over directions of one ear's pressure times
/// the other's conjugate, over the mean of either's square, for the head of [`super::head_shadow`]
/// and [`ear_delay_s`]. It is real, as the head is the same from both sides.
pub fn coherence(hz: f64, speed_of_sound_m_s: f64) -> f64 {
    let [around, shadowed] = head_filter_parts(hz, speed_of_sound_m_s);
    let at_ear = |incidence: f64| {
        let phase = -TAU * hz * ear_delay_s(incidence, speed_of_sound_m_s);
        (around + shadow_alpha(incidence) * shadowed) * Complex64::cis(phase)
    };
    let cross = over_all(|one, other| at_ear(one) * at_ear(other).conj());
    let own = over_all(|one, _| at_ear(one).norm_sqr().into());
    cross.re / own.re
}

/// Late sound of three figures of eight at right angles: noises without relation, each with a third
/// of the energy of an omnidirectional microphone, the mean of a squared cosine over all directions.
pub(super) fn velocity_channels(
    late: &LateEnergy,
    duration_s: f64,
    draws: [NoiseSeed; 3],
) -> [ImpulseResponse; 3] {
    draws.map(|draw| {
        let mut noise = late.noise(duration_s, draw);
        for sample in &mut noise.samples {
            *sample *= (1.0f64 / 3.0).sqrt();
        }
        noise
    })
}

/// Mean over all directions of a value that hangs on the angles to the two ears' axes.
fn over_all(value: impl Fn(f64, f64) -> Complex64) -> Complex64 {
    // Evenly over the sphere is evenly in the cosine. Halves, for the delay has a kink at the side.
    let halves = gauss_legendre(DIRECTIONS / 2);
    let mean: Complex64 = halves
        .iter()
        .flat_map(|&(cos, weight)| [(cos, weight), (-cos, weight)])
        .map(|(cos, weight)| {
            let incidence = cos.acos();
            value(incidence, PI - incidence) * weight
        })
        .sum();
    mean / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::medium::bands::BAND_COUNT;

    const SPEED_M_S: f64 = 343.0;

    /// Alike for sound long against the head; little in common for short. Without shadow and with
    /// straight paths it would be sin(kd)/kd (Cook et al. 1955, from memory), whose first null lies at 980 Hz for
    /// ears 17.5 cm apart; paths around the head are longer and bring it down.
    #[test]
    fn ears_agree_at_low_frequencies_only() {
        assert!((coherence(0.0, SPEED_M_S) - 1.0).abs() < 1e-12);
        assert!(coherence(100.0, SPEED_M_S) > 0.95);
        let null_hz = (100..2000).map(f64::from).find(|hz| coherence(*hz, SPEED_M_S) < 0.0);
        assert!(null_hz.is_some_and(|hz| (500.0..980.0).contains(&hz)), "{null_hz:?}");
        for hz in [3000.0, 5000.0, 9000.0] {
            assert!(coherence(hz, SPEED_M_S).abs() < 0.2, "{hz}");
        }
    }

    /// The drawn ears have the coherence of the head, octave by octave, and the same energy.
    #[test]
    fn drawn_ears_are_as_coherent() {
        let late = LateEnergy { start_s: 0.01, bin_s: 1e-3, bins: vec![[1.0; BAND_COUNT]; 900] };
        let head = DiffuseBinaural::new(SPEED_M_S);
        let draws = [0, 1].map(|number| NoiseSeed { seed: 5, number });
        let [left, right] = head.ears(&late, 1.0, draws).map(|ear| spectrum(&ear.samples));
        let per_hz = left.len() as f64 / SAMPLE_RATE_HZ;
        for (low_hz, high_hz) in [(50.0, 150.0), (300.0, 450.0), (800.0, 1000.0), (4e3, 8e3)] {
            let lines = index(low_hz * per_hz)..index(high_hz * per_hz);
            let sum =
                |value: &dyn Fn(usize) -> Complex64| lines.clone().map(value).sum::<Complex64>().re;
            let cross = sum(&|i| left[i] * right[i].conj());
            let (of_left, of_right) =
                (sum(&|i| left[i].norm_sqr().into()), sum(&|i| right[i].norm_sqr().into()));
            let found = cross / (of_left * of_right).sqrt();
            let middle = coherence(f64::midpoint(low_hz, high_hz), SPEED_M_S);
            // Standard error of as many independent lines, and the curve's bend over the range.
            let allowed = 3.0 / (lines.len() as f64).sqrt() + 0.05;
            assert!((found - middle).abs() < allowed, "{low_hz} Hz: {found} for {middle}");
            assert!((of_left / of_right).log10().abs() < 0.1);
        }
    }

    fn spectrum(samples: &[f64]) -> Vec<Complex64> {
        let mut line: Vec<Complex64> = samples.iter().map(|&s| s.into()).collect();
        rustfft::FftPlanner::new().plan_fft_forward(line.len()).process(&mut line);
        line
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small line number"
    )]
    fn index(line: f64) -> usize {
        line as usize
    }
}
