//! Losses counted in attenuation_log2, so that they add up instead of being multiplied.
//!
//! Energy that is halved h times leaves a share of 2⁻ʰ. A wall halves it so many times a hit, the air
//! so many times a metre; what a ray has lost on its way is the sum, whichever came first.

use super::reflectance::BandVector;
use crate::medium::bands::BAND_COUNT;

/// What stands for "nothing is left": more attenuation_log2 than a single-precision number has room for.
const OPAQUE_LOG2: f64 = 200.0;

/// Halvings that leave a share of the energy.
pub(super) fn attenuation_log2(share: f64) -> f64 {
    if share > 0.0 { (-libm::log2(share)).min(OPAQUE_LOG2) } else { OPAQUE_LOG2 }
}

/// The share of energy that is left after some attenuation_log2, and the share that is lost: 2⁻ʰ and 1 − 2⁻ʰ,
/// the latter without cancellation where little is lost.
#[inline(always)]
pub(super) fn transmitted_and_absorbed(attenuation_log2: BandVector) -> (BandVector, BandVector) {
    let (mut left, mut lost) = ([0.0; BAND_COUNT], [0.0; BAND_COUNT]);
    for band in 0..BAND_COUNT {
        let exponent = -attenuation_log2[band];
        let exponent = if exponent > MIN_EXPONENT { exponent } else { MIN_EXPONENT };
        // 2ˣ = 2ⁿ (1 + p): n the nearest whole number, found by rounding at the last binary place.
        let rounded = exponent + ROUNDING_BIAS;
        let power = f32::from_bits((rounded.to_bits() << 23).wrapping_add(ONE));
        // Below the smallest normal number nothing is left.
        let power = if exponent > MIN_EXPONENT { power } else { 0.0 };
        let p = exp2_minus_one(exponent - (rounded - ROUNDING_BIAS));
        left[band] = power + power * p;
        lost[band] = (1.0 - power) - power * p;
    }
    (left, lost)
}

/// Exponents of normal numbers lie above this.
const MIN_EXPONENT: f32 = -126.0;

/// 1.5 · 2²³: a float this large has no room for a fraction, of either sign.
const ROUNDING_BIAS: f32 = 12_582_912.0;

/// The bits of 1.
const ONE: u32 = 127 << 23;

/// 2ˣ − 1 for x from −½ to ½: the exponential series, whose next term is below 10⁻⁸.
#[inline(always)]
fn exp2_minus_one(x: f32) -> f32 {
    const LN_2: f32 = std::f32::consts::LN_2;
    let y = x * LN_2;
    let tail = 1.0 / 120.0 + y * (1.0 / 720.0 + y * (1.0 / 5040.0));
    y + y * y * (0.5 + y * (1.0 / 6.0 + y * (1.0 / 24.0 + y * tail)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the power itself, from no loss to −300 dB.
    #[test]
    fn halvings_are_a_power_of_two() {
        for i in 0..10_000 {
            let h = 0.01 * i as f32;
            let exact = f64::from(-h).exp2();
            let (left, lost) = transmitted_and_absorbed([h; BAND_COUNT]);
            assert!((f64::from(left[3]) / exact - 1.0).abs() < 2e-7, "{h}");
            let small = 1e-7 * i as f32;
            let (_, little) = transmitted_and_absorbed([small; BAND_COUNT]);
            let exact_little = -(-f64::from(small) * std::f64::consts::LN_2).exp_m1();
            assert!((f64::from(little[3]) - exact_little).abs() <= 3e-7 * exact_little, "{small}");
            assert!((f64::from(lost[3]) - (1.0 - exact)).abs() < 2e-7, "{h}");
        }
        assert_eq!(
            transmitted_and_absorbed([0.0; BAND_COUNT]),
            ([1.0; BAND_COUNT], [0.0; BAND_COUNT])
        );
        let black = attenuation_log2(0.0) as f32;
        assert_eq!(
            transmitted_and_absorbed([black; BAND_COUNT]),
            ([0.0; BAND_COUNT], [1.0; BAND_COUNT])
        );
    }
}
