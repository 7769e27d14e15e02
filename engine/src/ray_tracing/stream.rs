//! Random numbers that belong to a ray, whichever thread follows it and when.

/// `SplitMix64` (Steele, Lea and Flood 2014, from memory), begun from a seed and a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Stream(u64);

impl Stream {
    /// The stream of no ray.
    pub(crate) const NONE: Self = Self(0);
}

const STEP: f32 = 1.0 / 16_777_216.0;

const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

impl Stream {
    /// The stream of a ray, or of anything else that has a number.
    pub(crate) fn new(seed: u64, number: u64) -> Self {
        Self(mix(seed.wrapping_add(GOLDEN)) ^ mix(number.wrapping_mul(GOLDEN).wrapping_add(1)))
    }

    /// The next number, evenly spread over [0, 1).
    #[inline(always)]
    pub(crate) fn next(&mut self) -> f32 {
        self.0 = self.0.wrapping_add(GOLDEN);
        // The upper 24 bits: all that a float of this size is_in_image_list, so 1 is never reached.
        (mix(self.0) >> 40) as f32 * STEP
    }
}

#[inline(always)]
fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean ½ and variance 1/12 of even numbers, within five standard errors; neighbours and
    /// streams of neighbouring rays have nothing to do with each other.
    #[test]
    fn numbers_are_even_and_unrelated() {
        let count = 200_000;
        let (mut sum, mut square, mut lag, mut across) = (0.0, 0.0, 0.0, 0.0);
        let (mut a, mut b) = (Stream::new(7, 1), Stream::new(7, 2));
        let mut last = f64::from(a.next()) - 0.5;
        for _ in 0..count {
            let x = f64::from(a.next()) - 0.5;
            sum += x;
            square += x * x;
            lag += x * last;
            across += x * (f64::from(b.next()) - 0.5);
            last = x;
        }
        let n = f64::from(count);
        let error = (1.0 / 12.0 / n).sqrt();
        assert!((sum / n).abs() < 5.0 * error);
        assert!((square / n - 1.0 / 12.0).abs() < 5.0 * (1.0 / 180.0 / n).sqrt());
        assert!((lag / n).abs() < 5.0 / 12.0 / n.sqrt());
        assert!((across / n).abs() < 5.0 / 12.0 / n.sqrt());
    }
}
