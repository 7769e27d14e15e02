//! Many numbers in a few.

/// A number with four significant digits, without a tail of noughts.
pub(super) fn four_digits(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    // Rounded in the decimal notation itself, which does not depend on a logarithm.
    let rounded: f64 = format!("{value:.3e}").parse().unwrap();
    format!("{rounded}")
}

/// How many, the least, the greatest and their mean.
pub(super) fn summary(values: &[f64]) -> String {
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    format!(
        "{} numbers, min {}, max {}, mean {}",
        values.len(),
        four_digits(least),
        four_digits(greatest),
        four_digits(mean)
    )
}

/// A short fingerprint of coordinates, each rounded to a tenth (FNV-1a, 64 bit).
#[expect(clippy::cast_possible_truncation, reason = "millimetres on a sheet")]
pub(super) fn digest(coordinates: &[f64]) -> String {
    let tenths = coordinates.iter().map(|value| (value * 10.0).round() as i64);
    let hash = tenths.flat_map(i64::to_le_bytes).fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{hash:016x}")
}
