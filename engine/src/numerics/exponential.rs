//! Exponentials of several numbers side by side, in vector instructions.

use std::f64::consts::LOG2_E;

/// 1.5·2⁵²: added, it rounds to a whole number, which then stands in the lowest bits.
const ROUND: f64 = 6_755_399_441_055_744.0;
/// Upper part of ln 2, short enough that its products with exponents are exact, and the rest.
const LN_2: [f64; 2] = [0.693_145_751_953_125, 1.428_606_820_309_417_2e-6];
/// Least exponent whose power is a normal number.
const LOWEST: f64 = -708.0;
/// 1/n! from the highest power of the series down to the constant; beyond r¹³ with |r| ≤ ln 2/2 it is
/// below the rounding.
const SERIES: [f64; 14] = {
    let mut terms = [1.0; 14];
    let mut n = 1;
    while n < terms.len() {
        terms[n] = terms[n - 1] / n as f64;
        n += 1;
    }
    terms.reverse();
    terms
};

/// e^x of numbers that are not above nought, by 2ⁿ·e^r with a Taylor series in r. Below −708 it stays at
/// e^−708, which is nought beside anything it is added to.
#[inline(always)]
pub(crate) fn exp_of_negatives<const N: usize>(x: [f64; N]) -> [f64; N] {
    let mut powers = [0.0; N];
    for (power, x) in powers.iter_mut().zip(x) {
        let x = if x < LOWEST { LOWEST } else { x };
        let shifted = x * LOG2_E + ROUND;
        let n = shifted - ROUND;
        let r = (x - n * LN_2[0]) - n * LN_2[1];
        let series = SERIES.iter().fold(0.0, |sum, term| sum * r + term);
        *power = series * f64::from_bits(shifted.to_bits().wrapping_add(1023) << 52);
    }
    powers
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the platform's exponential, to a few units of the last place.
    #[test]
    fn powers_are_those_of_the_library() {
        for i in 0..7_000 {
            let x = [0.0, 0.3, 0.5, 0.9].map(|part| -0.1 * (f64::from(i) + part));
            for (power, x) in exp_of_negatives(x).into_iter().zip(x) {
                assert!((power - x.exp()).abs() <= 4.0 * f64::EPSILON * x.exp(), "{x}: {power}");
            }
        }
        assert!(exp_of_negatives([-1e9, -745.0]).iter().all(|power| *power < 1e-300));
    }
}
