//! Run-time dispatch to the widest vector instructions of the processor.
//!
//! The only `unsafe` of the engine is here. Fused products are left out on purpose: without them
//! every processor rounds alike, so the same input gives the same bytes wherever it runs.

/// Computation that gains from wide vector instructions. `run` is marked `#[inline(always)]` and written
/// as plain loops over slices and arrays, so that it is compiled anew for each kind of processor.
pub(crate) trait Kernel {
    /// Result.
    type Output;

    /// Computes the result.
    fn run(self) -> Self::Output;
}

/// Runs a kernel with the widest instructions available.
pub(crate) fn dispatch_simd<K: Kernel>(kernel: K) -> K::Output {
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A sum of products, long enough that its rounding would show a fused product.
    struct SumOfProducts<'a>(&'a [f64], &'a [f64]);

    impl Kernel for SumOfProducts<'_> {
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
        assert_eq!(dispatch_simd(SumOfProducts(&a, &b)), plain);
    }
}
