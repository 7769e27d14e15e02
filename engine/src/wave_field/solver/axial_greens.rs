//! The rigid room's Green's function between a surface and a plane, for one cosine along it.

use num_complex::Complex64;

/// The closed form of G across a surface, for one cosine along it: `g(0, x) =
/// (e^(−γx) + e^(−γ(2L − x)))/(γ(1 − e^(−2γL)))`, with γ² = k² of the cosine − k².
#[derive(Debug, Clone, Copy)]
pub(super) struct AxialGreens {
    gamma: Complex64,
    /// 1/(γ(1 − e^(−2γL))).
    scale: Complex64,
    /// e^(−2γL).
    round: Complex64,
    length_m: f64,
}

impl AxialGreens {
    pub(super) fn new(gamma2: Complex64, length_m: f64) -> Self {
        let gamma = gamma2.sqrt();
        let round = (-2.0 * gamma * length_m).exp();
        Self { gamma, scale: (gamma * (1.0 - round)).inv(), round, length_m }
    }

    /// From the surface to itself.
    pub(super) fn same(&self) -> Complex64 {
        self.scale * (1.0 + self.round)
    }

    /// To the surface across.
    pub(super) fn opposite(&self) -> Complex64 {
        self.scale * 2.0 * (-self.gamma * self.length_m).exp()
    }

    /// To a plane so far from the surface.
    pub(super) fn at(&self, away_m: f64) -> Complex64 {
        let there = (-self.gamma * away_m).exp();
        self.scale * (there + self.round / there)
    }
}
