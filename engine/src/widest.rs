//! The widest vector instructions that the processor at hand has, chosen at run time.
//!
//! The only `unsafe` of the engine is here. Fused products are left out on purpose: without them
//! every processor rounds alike, so the same input gives the same bytes wherever it runs.

/// Work that gains from wide vector instructions. `run` is marked `#[inline(always)]` and written
/// as plain loops over slices and arrays, so that it is compiled anew for each kind of processor.
pub(crate) trait Kernel {
    /// What it gives back.
    type Output;

    /// Does the work.
    fn run(self) -> Self::Output;
}

/// Runs a kernel with the widest instructions there are.
pub(crate) fn on_widest<K: Kernel>(kernel: K) -> K::Output {
    #[cfg(target_arch = "x86_64")]
    if std::arch::is_x86_feature_detected!("avx2") {
        #[target_feature(enable = "avx2")]
        fn with_avx2<K: Kernel>(kernel: K) -> K::Output {
            kernel.run()
        }
        #[expect(unsafe_code, reason = "the one place where a detected feature is used")]
        // SAFETY: with_avx2 asks for nothing but AVX2, which this processor has: just detected.
        return unsafe { with_avx2(kernel) };
    }
    kernel.run()
}

/// eˣ to 2e-7 for −80 < x ≤ 0, in single precision: ln 2 is taken out a whole number of times, the
/// rest goes by its power series. Without branches or calls, for kernels. Below −80 it gives e⁻⁸⁰,
/// which is nothing.
#[inline(always)]
pub(crate) fn exp_small(x: f32) -> f32 {
    // Adding and taking away 1.5·2^23 rounds to the nearest whole number.
    const ROUND: f32 = 12_582_912.0;
    const LN_2_HIGH: f32 = 0.693_145_75;
    const LN_2_LOW: f32 = 1.428_606_8e-6;
    let x = x.max(-80.0);
    let shifted = x * std::f32::consts::LOG2_E + ROUND;
    let doublings = shifted - ROUND;
    let r = (x - doublings * LN_2_HIGH) - doublings * LN_2_LOW;
    let r2 = r * r;
    let low = (1.0 + r) + r2 * (0.5 + r * (1.0 / 6.0));
    let high = (1.0 / 24.0 + r * (1.0 / 120.0)) + r2 * (1.0 / 720.0 + r * (1.0 / 5040.0));
    let sum = low + r2 * r2 * high;
    // The lowest bits of `shifted` hold the whole number; it becomes an exponent.
    sum * f32::from_bits(shifted.to_bits().wrapping_add(127) << 23)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the system's own exponential, in double precision.
    #[test]
    fn exponentials_are_exponentials() {
        for i in 0..80_000 {
            let x = -0.001 * i as f32;
            let exact = f64::from(x).exp();
            assert!((f64::from(exp_small(x)) / exact - 1.0).abs() < 3e-7, "{x}");
        }
        assert_eq!(exp_small(0.0).to_bits(), 1f32.to_bits());
    }

    /// A sum of products, long enough that its rounding would show a fused product.
    struct Products<'a>(&'a [f64], &'a [f64]);

    impl Kernel for Products<'_> {
        type Output = Vec<f64>;

        #[inline(always)]
        fn run(self) -> Vec<f64> {
            self.0.iter().zip(self.1).map(|(a, b)| a * b + a / b).collect()
        }
    }

    /// Whatever is chosen, the bits are those of plain code.
    #[test]
    fn every_processor_rounds_alike() {
        let a: Vec<f64> = (1..999).map(|i| f64::from(i).sqrt()).collect();
        let b: Vec<f64> = (1..999).map(|i| f64::from(i).cbrt()).collect();
        let plain: Vec<f64> = a.iter().zip(&b).map(|(a, b)| a * b + a / b).collect();
        assert_eq!(on_widest(Products(&a, &b)), plain);
    }
}
