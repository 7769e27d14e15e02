//! Many impulses at many frequencies.

use crate::medium::bands::FrequencyGrid;
use crate::numerics::simd_dispatch::{Kernel, dispatch_simd};
use num_complex::Complex64;

/// Impulses in columns, so that the compiler works on several at once.
#[derive(Debug, Clone, Default)]
pub(super) struct Impulses {
    pub(super) amplitude: Vec<f64>,
    pub(super) detour_m: Vec<f64>,
}

impl Impulses {
    /// Drops all, keeping the room.
    pub(super) fn clear(&mut self) {
        self.amplitude.clear();
        self.detour_m.clear();
    }

    /// Room for more, to be filled: amplitudes, detours.
    pub(super) fn more(&mut self, count: usize) -> [&mut [f64]; 2] {
        let have = self.amplitude.len();
        self.amplitude.resize(have + count, 0.0);
        self.detour_m.resize(have + count, 0.0);
        [&mut self.amplitude[have..], &mut self.detour_m[have..]]
    }

    /// Fills up with nothing, to a whole number of lanes.
    pub(super) fn pad(&mut self) {
        self.more(self.amplitude.len().next_multiple_of(LANES) - self.amplitude.len());
    }

    /// Σ a·e^{−j2πfδ/c} at the points of one band, to some 1e-5 of the largest amplitude. Takes
    /// padded impulses.
    pub(super) fn sum(&self, band: usize, speed_of_sound_m_s: f64) -> [Complex64; POINTS] {
        let (low_hz, step_hz) = FrequencyGrid::band_steps_hz(band);
        let [first, step] = [low_hz + 0.5 * step_hz, step_hz].map(|hz| -hz / speed_of_sound_m_s);
        let (amplitude, detour_m) =
            (self.amplitude.as_chunks::<LANES>().0, self.detour_m.as_chunks::<LANES>().0);
        dispatch_simd(BandSum { amplitude, detour_m, first, step })
            .map(|[re, im]| Complex64::new(re.into(), im.into()))
    }
}

const LANES: usize = 8;
const POINTS: usize = FrequencyGrid::POINTS_PER_BAND;

/// The sum over impulses at the evenly spaced points of a band, in so many partial sums: each
/// phasor is worked out once and then turned from point to point.
struct BandSum<'a> {
    amplitude: &'a [[f64; LANES]],
    detour_m: &'a [[f64; LANES]],
    /// Turns a metre at the first point.
    first: f64,
    /// Further turns a metre from point to point.
    step: f64,
}

impl Kernel for BandSum<'_> {
    type Output = [[f32; 2]; POINTS];

    #[inline(always)]
    fn run(self) -> Self::Output {
        let mut sums = [[[0.0; LANES]; 2]; POINTS];
        for (amplitude, detour_m) in self.amplitude.iter().zip(self.detour_m) {
            let (mut re, mut im) = ([0.0; LANES], [0.0; LANES]);
            let (mut cos, mut sin) = ([0.0; LANES], [0.0; LANES]);
            for i in 0..LANES {
                let a = single(amplitude[i]);
                let (c, s) = cis_turns(self.first * detour_m[i]);
                (re[i], im[i]) = (a * c, a * s);
                (cos[i], sin[i]) = cis_turns(self.step * detour_m[i]);
            }
            for [sum_re, sum_im] in &mut sums {
                for i in 0..LANES {
                    sum_re[i] += re[i];
                    sum_im[i] += im[i];
                    let turned = re[i] * cos[i] - im[i] * sin[i];
                    im[i] = re[i] * sin[i] + im[i] * cos[i];
                    re[i] = turned;
                }
            }
        }
        sums.map(|[re, im]| [total(re), total(im)])
    }
}

/// Sum of a row, in a fixed order that the compiler can do for several rows at once.
#[inline(always)]
fn total(lanes: [f32; LANES]) -> f32 {
    let [a, b, c, d, e, f, g, h] = lanes;
    ((a + e) + (c + g)) + ((b + f) + (d + h))
}

/// cos and sin of an angle given in turns, to 3e-6; for angles below a million turns.
///
/// Whole turns are dropped exactly, the rest is quartered, taken by the power series and doubled
/// twice: no branches and no calls, so a loop over it runs on several angles at once.
#[inline(always)]
fn cis_turns(turns: f64) -> (f32, f32) {
    let x = single(turns - nearest_whole(turns)) * std::f32::consts::FRAC_PI_2;
    let y = x * x;
    let sin = x * (1.0 - y * (1.0 / 6.0) * (1.0 - y * (1.0 / 20.0) * (1.0 - y * (1.0 / 42.0))));
    let cos = 1.0
        - y * 0.5 * (1.0 - y * (1.0 / 12.0) * (1.0 - y * (1.0 / 30.0) * (1.0 - y * (1.0 / 56.0))));
    let (c2, s2) = (1.0 - 2.0 * sin * sin, 2.0 * sin * cos);
    (1.0 - 2.0 * s2 * s2, 2.0 * s2 * c2)
}

/// Single precision: all that a phasor needs once its whole turns are gone.
#[inline(always)]
#[expect(clippy::cast_possible_truncation, reason = "it is rounded on purpose")]
fn single(x: f64) -> f32 {
    x as f32
}

/// The nearest whole number, for numbers below 2^51: adding and taking away 1.5·2^52 rounds.
#[inline(always)]
fn nearest_whole(x: f64) -> f64 {
    (x + ROUND) - ROUND
}

const ROUND: f64 = 6_755_399_441_055_744.0;

/// eˣ to 1e-15, for |x| < 700: ln 2 is taken out a whole number of times (in two parts, so that
/// nothing is lost), the rest goes by its power series. Without branches or calls.
#[inline(always)]
pub(super) fn exp(x: f64) -> f64 {
    const LN_2_HIGH: f64 = 0.693_147_180_369_123_8;
    const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    let shifted = x * std::f64::consts::LOG2_E + ROUND;
    let doublings = shifted - ROUND;
    let r = (x - doublings * LN_2_HIGH) - doublings * LN_2_LOW;
    // Factorials, so that the first terms are exact; written out, or else it stays a loop.
    let r2 = r * r;
    let r4 = r2 * r2;
    let low = (1.0 + r) + r2 * (1.0 / 2.0 + r * (1.0 / 6.0));
    let middle = (1.0 / 24.0 + r * (1.0 / 120.0)) + r2 * (1.0 / 720.0 + r * (1.0 / 5040.0));
    let high = (1.0 / 40_320.0 + r * (1.0 / 362_880.0))
        + r2 * (1.0 / 3_628_800.0 + r * (1.0 / 39_916_800.0));
    let sum = low + r4 * (middle + r4 * (high + r4 * (1.0 / 479_001_600.0)));
    // The lowest bits of `shifted` hold the whole number; it becomes an exponent.
    sum * f64::from_bits(shifted.to_bits().wrapping_add(1023) << 52)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the system's own sine and cosine.
    #[test]
    fn turns_become_cosine_and_sine() {
        for i in -20_000..20_000 {
            let turns = f64::from(i) * 0.013_7;
            let (cos, sin) = cis_turns(turns);
            let exact = (turns.fract() * std::f64::consts::TAU).sin_cos();
            let error = (f64::from(sin) - exact.0).abs().max((f64::from(cos) - exact.1).abs());
            assert!(error < 3e-6, "{turns}: {error}");
        }
    }

    /// Against the system's own exponential.
    #[test]
    fn exponentials_are_exponentials() {
        for i in -20_000..20_000 {
            let x = f64::from(i) * 0.002_7;
            assert!((exp(x) / x.exp() - 1.0).abs() < 4e-15, "{x}");
        }
    }
}
