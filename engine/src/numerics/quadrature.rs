//! Gauss–Legendre quadrature.

use std::sync::OnceLock;

/// Nodes and weights of `count`-point Gauss–Legendre quadrature on [0, 1], in rising order.
///
/// Newton's method on the Legendre recurrence from the usual cosine start; exact for polynomials
/// up to degree 2·`count` − 1.
pub(crate) fn gauss_legendre(count: usize) -> Vec<(f64, f64)> {
    (0..count)
        .map(|index| {
            let from_top = (count - index) as f64 - 0.25;
            let mut x = (std::f64::consts::PI * from_top / (count as f64 + 0.5)).cos();
            for _ in 0..16 {
                let (value, slope) = legendre_with_slope(count, x);
                let step = value / slope;
                x -= step;
                if step.abs() < 1e-15 {
                    break;
                }
            }
            let (_, slope) = legendre_with_slope(count, x);
            (0.5 * (1.0 + x), 1.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// Quadrature rule on [0, 1], in columns.
#[derive(Debug, Default)]
pub(crate) struct GaussRule {
    /// Nodes, rising.
    pub(crate) at: Vec<f64>,
    /// Weights.
    pub(crate) weight: Vec<f64>,
}

/// Shortest rule of a ladder with at least `points` points, the longest if none is long enough.
pub(crate) fn gauss_rule(points: f64) -> &'static GaussRule {
    let rung = LADDER.partition_point(|&count| (count as f64) < points).min(LADDER.len() - 1);
    RULES[rung].get_or_init(|| {
        let (at, weight) = gauss_legendre(LADDER[rung]).into_iter().unzip();
        GaussRule { at, weight }
    })
}

const LADDER: [usize; 20] =
    [4, 6, 8, 12, 16, 18, 20, 24, 28, 32, 40, 48, 64, 80, 96, 128, 192, 256, 512, 1024];

/// Rules of the ladder, computed at first use.
static RULES: [OnceLock<GaussRule>; LADDER.len()] = [const { OnceLock::new() }; LADDER.len()];

/// Pₙ(x) and its derivative, |x| < 1.
fn legendre_with_slope(degree: usize, x: f64) -> (f64, f64) {
    let (mut before, mut here) = (0.0, 1.0);
    for n in 0..degree {
        let n = n as f64;
        let next = ((2.0 * n + 1.0) * x * here - n * before) / (n + 1.0);
        (before, here) = (here, next);
    }
    (here, degree as f64 * (x * here - before) / (x * x - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_are_integrated_exactly() {
        // ∫₀¹ xⁿ dx = 1/(n + 1), exact up to degree 2·count − 1.
        for count in [1, 2, 5, 16, 31] {
            let rule = gauss_legendre(count);
            for power in 0..2 * count {
                let power = i32::try_from(power).unwrap_or(i32::MAX);
                let sum: f64 = rule.iter().map(|(x, w)| w * x.powi(power)).sum();
                assert!((sum * f64::from(power + 1) - 1.0).abs() < 1e-12, "{count} {power}");
            }
            assert!(rule.windows(2).all(|w| w[0].0 < w[1].0));
        }
    }
}
