//! SurfaceMaterials in tables, found for many rays at once.

/// 2²³: a float this large has no room for a fraction, so adding it rounds to a whole number, which
/// then stands in the lowest bits.
const ROUND: f32 = 8_388_608.0;

/// The whole steps below a place that is not negative, and the part of the next one, 0 to 1. The
/// place must lie below 2²²; half way between the roundings whole steps may come out as one less and
/// a part of 1.
#[inline(always)]
pub(super) fn fast_floor(place: f32) -> (u32, f32) {
    let before = place - 0.5;
    let rounded = if before > 0.0 { before } else { 0.0 } + ROUND;
    (rounded.to_bits() - ROUND.to_bits(), place - (rounded - ROUND))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_steps_and_parts_add_up() {
        for i in 0..40_000 {
            let place = 0.037 * i as f32;
            let (whole, part) = fast_floor(place);
            assert!((0.0..=1.0).contains(&part), "{place} {whole} {part}");
            assert!((whole as f32 + part - place).abs() <= 1e-4 * place);
        }
        assert_eq!(fast_floor(0.0), (0, 0.0));
    }
}
