//! Positions in tables split into index and fraction, without a conversion instruction.

/// 2²³: a float this large has no room for a fraction, so adding it rounds to a whole number, which
/// then stands in the lowest bits.
const ROUND: f32 = 8_388_608.0;

/// Floor and fractional part of a position that is not negative and below 2²². Half way between the
/// roundings a whole number may come out as one less and a fraction of 1.
#[inline(always)]
pub(crate) fn fast_floor(position: f32) -> (u32, f32) {
    let shifted = position - 0.5;
    let rounded = if shifted > 0.0 { shifted } else { 0.0 } + ROUND;
    (rounded.to_bits() - ROUND.to_bits(), position - (rounded - ROUND))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[allow(clippy::cast_precision_loss, reason = "small numbers")]
    fn floor_and_fraction_add_up() {
        for i in 0..40_000 {
            let position = 0.037 * i as f32;
            let (floor, fraction) = fast_floor(position);
            assert!((0.0..=1.0).contains(&fraction), "{position} {floor} {fraction}");
            assert!((floor as f32 + fraction - position).abs() <= 1e-4 * position);
        }
        assert_eq!(fast_floor(0.0), (0, 0.0));
    }
}
