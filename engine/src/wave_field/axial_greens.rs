//! One-dimensional Green's function of the rigid room along one axis.
//!
//! `g(x, x′) = cosh γx_< · cosh γ(L − x_>)/(γ sinh γL)`, with x_< and x_> the smaller and the larger of
//! the two coordinates, solves `(γ² − d²/dx²) g = δ(x − x′)` between rigid ends and is the closed form of
//! the sum `Σ X_n(x)X_n(x′)/(k_n² + γ²)` over all normal modes of the axis.

use num_complex::{Complex64, ComplexFloat};
use std::ops::Mul;

/// Green's function of a source on a surface, along the normal of that surface, for one cosine in its
/// plane: `g(0, x) = (e^(−γx) + e^(−γ(2L − x)))/(γ(1 − e^(−2γL)))`, where γ² is the square of the
/// cosine's wavenumber less k².
#[derive(Debug, Clone, Copy)]
pub(super) struct AxialGreens {
    gamma: Complex64,
    /// 1/(γ(1 − e^(−2γL))).
    scale: Complex64,
    /// Attenuation over a round trip, e^(−2γL).
    round_trip: Complex64,
    length_m: f64,
}

impl AxialGreens {
    pub(super) fn new(gamma2: Complex64, length_m: f64) -> Self {
        let gamma = gamma2.sqrt();
        let round_trip = (-2.0 * gamma * length_m).exp();
        Self { gamma, scale: (gamma * (1.0 - round_trip)).inv(), round_trip, length_m }
    }

    /// Value at the surface itself, metres.
    pub(super) fn at_surface(&self) -> Complex64 {
        self.scale * (1.0 + self.round_trip)
    }

    /// Value at the opposite surface, metres.
    pub(super) fn at_opposite_surface(&self) -> Complex64 {
        self.scale * 2.0 * (-self.gamma * self.length_m).exp()
    }

    /// Value at a distance from the surface, metres.
    pub(super) fn at_distance(&self, distance_m: f64) -> Complex64 {
        let there = (-self.gamma * distance_m).exp();
        self.scale * (there + self.round_trip / there)
    }
}

/// Green's function between two coordinates inside, the smaller one first, metres; its exponentials
/// all decay, so that none overflows. With a real γ, as beyond the cut-off of a mode, it is real.
pub(super) fn between<T>(gamma: T, length_m: f64, [nearer_m, farther_m]: [f64; 2]) -> T
where
    T: ComplexFloat<Real = f64> + Mul<f64, Output = T>,
{
    let decay = |metres: f64| (gamma * -metres).exp();
    let sum = farther_m + nearer_m;
    let difference = farther_m - nearer_m;
    (decay(difference)
        + decay(sum)
        + decay(2.0 * length_m - sum)
        + decay(2.0 * length_m - difference))
        / (gamma * 2.0 * (T::one() - decay(2.0 * length_m)))
}

#[cfg(test)]
mod tests {
    use super::{AxialGreens, between};
    use num_complex::Complex64;

    /// A source on the surface is the limit of one inside.
    #[test]
    fn surface_sources_are_a_limit() {
        let gamma2 = Complex64::new(-3.1, 0.2);
        let (on_surface, gamma) = (AxialGreens::new(gamma2, 4.2), gamma2.sqrt());
        for x_m in [0.0, 0.3, 2.5, 4.2] {
            let inside = between(gamma, 4.2, [0.0, x_m]);
            assert!((on_surface.at_distance(x_m) - inside).norm() < 1e-12, "{x_m}");
        }
        assert!((on_surface.at_surface() - between(gamma, 4.2, [0.0, 0.0])).norm() < 1e-12);
        assert!(
            (on_surface.at_opposite_surface() - between(gamma, 4.2, [0.0, 4.2])).norm() < 1e-12
        );
    }
}
