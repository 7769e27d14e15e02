//! Interpolation in k² of what is smooth over a sub-band.

use num_complex::Complex64;
use std::f64::consts::PI;

/// Range of k², rad²/m², with Chebyshev nodes of the first kind.
#[derive(Debug, Clone, Copy)]
pub(in crate::wave_field) struct ChebyshevRange {
    low: f64,
    high: f64,
}

impl ChebyshevRange {
    pub(in crate::wave_field) fn new([low, high]: [f64; 2]) -> Self {
        Self { low, high }
    }

    /// The nodes, rad²/m².
    pub(in crate::wave_field) fn nodes<const N: usize>(&self) -> [f64; N] {
        let (middle, half) = (0.5 * (self.low + self.high), 0.5 * (self.high - self.low));
        std::array::from_fn(|i| middle + half * chebyshev_node(i, N))
    }

    /// Weights of the values at the nodes in the value at a k² within the range, or a little beside it with loss: the
    /// barycentric formula (Berrut and Trefethen 2004; from memory).
    pub(in crate::wave_field) fn weights<const N: usize>(&self, k2: Complex64) -> [Complex64; N] {
        let x = (2.0 * k2 - self.low - self.high) / (self.high - self.low);
        let distances: [Complex64; N] = std::array::from_fn(|i| x - chebyshev_node(i, N));
        if let Some(node) = distances.iter().position(|distance| distance.norm() < 1e-14) {
            return std::array::from_fn(|i| Complex64::from(if i == node { 1.0 } else { 0.0 }));
        }
        let parts: [Complex64; N] = std::array::from_fn(|i| {
            let angle = PI * (2 * i + 1) as f64 / (2 * N) as f64;
            let sign = if i % 2 == 0 { 1.0 } else { -1.0 };
            sign * angle.sin() / distances[i]
        });
        let sum: Complex64 = parts.iter().sum();
        parts.map(|part| part / sum)
    }
}

/// One of so many Chebyshev nodes of the first kind on [−1, 1].
fn chebyshev_node(i: usize, count: usize) -> f64 {
    (PI * (2 * i + 1) as f64 / (2 * count) as f64).cos()
}
