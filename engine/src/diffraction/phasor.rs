//! Many impulses at many frequencies.

use crate::bands::FrequencyGrid;
use num_complex::Complex64;

/// Impulses in columns, so that the compiler works on several at once.
#[derive(Debug, Clone, Default)]
pub(super) struct Impulses {
    pub(super) amplitude: Vec<f64>,
    pub(super) detour_m: Vec<f64>,
}

impl Impulses {
    /// Adds Σ a·e^{−j2πfδ/c} at the points of one band.
    pub(super) fn add_to(&self, band: usize, speed_of_sound_m_s: f64, points: &mut [Complex64]) {
        const SEVERAL: usize = 64;
        let (low_hz, step_hz) = FrequencyGrid::band_steps_hz(band);
        let [first, step] = [low_hz + 0.5 * step_hz, step_hz].map(|hz| -hz / speed_of_sound_m_s);
        for (amplitude, detour_m) in
            self.amplitude.chunks(SEVERAL).zip(self.detour_m.chunks(SEVERAL))
        {
            let mut phasor = [[0.0; SEVERAL]; 2];
            let mut turn = [[0.0; SEVERAL]; 2];
            for (i, (&a, &detour_m)) in amplitude.iter().zip(detour_m).enumerate() {
                let (cos, sin) = cis_turns(first * detour_m);
                (phasor[0][i], phasor[1][i]) = (a * cos, a * sin);
                (turn[0][i], turn[1][i]) = cis_turns(step * detour_m);
            }
            for value in &mut *points {
                *value += sum(&phasor);
                rotate(&mut phasor, &turn);
            }
        }
    }
}

/// Sum of a block of phasors, in a fixed order that leaves the compiler several sums at once.
fn sum<const N: usize>([re, im]: &[[f64; N]; 2]) -> Complex64 {
    let total = |values: &[f64; N]| {
        let mut lanes = [0.0; 4];
        for four in values.as_chunks::<4>().0 {
            for (lane, value) in lanes.iter_mut().zip(four) {
                *lane += value;
            }
        }
        (lanes[0] + lanes[1]) + (lanes[2] + lanes[3])
    };
    Complex64::new(total(re), total(im))
}

/// Turns every phasor of a block by its own step.
fn rotate<const N: usize>([re, im]: &mut [[f64; N]; 2], [cos, sin]: &[[f64; N]; 2]) {
    for i in 0..N {
        let (r, s) = (re[i], im[i]);
        re[i] = r * cos[i] - s * sin[i];
        im[i] = r * sin[i] + s * cos[i];
    }
}

/// cos and sin of an angle given in turns, to 1e-15; for angles below a million turns.
///
/// Whole turns are dropped exactly, the rest is quartered, taken by the power series and doubled
/// twice: no branches and no calls, so a loop over it runs on several angles at once.
pub(super) fn cis_turns(turns: f64) -> (f64, f64) {
    // Adding and taking away 1.5·2^52 rounds to the nearest whole number.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    let whole = (turns + ROUND) - ROUND;
    let x = (turns - whole) * std::f64::consts::FRAC_PI_2;
    let y = x * x;
    let sin = x
        * (1.0
            - y * (1.0 / 6.0)
                * (1.0
                    - y * (1.0 / 20.0)
                        * (1.0
                            - y * (1.0 / 42.0)
                                * (1.0
                                    - y * (1.0 / 72.0)
                                        * (1.0
                                            - y * (1.0 / 110.0)
                                                * (1.0
                                                    - y * (1.0 / 156.0)
                                                        * (1.0 - y * (1.0 / 210.0))))))));
    let cos = 1.0
        - y * (1.0 / 2.0)
            * (1.0
                - y * (1.0 / 12.0)
                    * (1.0
                        - y * (1.0 / 30.0)
                            * (1.0
                                - y * (1.0 / 56.0)
                                    * (1.0
                                        - y * (1.0 / 90.0)
                                            * (1.0
                                                - y * (1.0 / 132.0)
                                                    * (1.0
                                                        - y * (1.0 / 182.0)
                                                            * (1.0 - y * (1.0 / 240.0))))))));
    let (c2, s2) = (1.0 - 2.0 * sin * sin, 2.0 * sin * cos);
    (1.0 - 2.0 * s2 * s2, 2.0 * s2 * c2)
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
            assert!((sin - exact.0).abs() < 2e-14 && (cos - exact.1).abs() < 2e-14, "{turns}");
        }
    }
}
