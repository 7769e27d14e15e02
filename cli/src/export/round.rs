//! Digits of each quantity in machine output: finer than any answer can mean, coarse enough that
//! the bytes do not hang on the last bit of the arithmetic.

/// Metres to a hundredth of a millimetre.
pub(crate) fn metres(value: f64) -> f64 {
    to(value, 5)
}

/// Milliseconds, from seconds, to a tenth of a microsecond.
pub(crate) fn milliseconds(seconds: f64) -> f64 {
    to(seconds * 1000.0, 4)
}

/// Seconds to a tenth of a millisecond.
pub(crate) fn seconds(value: f64) -> f64 {
    to(value, 4)
}

/// Degrees to a hundredth.
pub(crate) fn degrees(value: f64) -> f64 {
    to(value, 2)
}

/// Decibels to a thousandth; `None` where there is no sound at all.
pub(crate) fn decibels(value: f64) -> Option<f64> {
    value.is_finite().then(|| to(value, 3))
}

/// Decibels of a curve to a hundredth.
pub(crate) fn curve_decibels(value: f64) -> f64 {
    to(value, 2)
}

/// Ratios and coefficients to a ten-thousandth.
pub(crate) fn ratio(value: f64) -> f64 {
    to(value, 4)
}

/// Hertz to a tenth.
pub(crate) fn hertz(value: f64) -> f64 {
    to(value, 1)
}

/// Rounded to so many decimals; nought has no sign.
pub(crate) fn to(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    (value * scale).round() / scale + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_to_the_nearest_and_drops_the_sign_of_nought() {
        assert_eq!(metres(3.581_234_9).to_string(), "3.58123");
        assert_eq!(milliseconds(0.005_764_12).to_string(), "5.7641");
        assert_eq!(degrees(-0.001).to_string(), "0");
        assert_eq!(decibels(-7.199_96), Some(-7.2));
        assert_eq!(decibels(f64::NEG_INFINITY), None);
        assert_eq!(decibels(f64::NAN), None);
    }
}
