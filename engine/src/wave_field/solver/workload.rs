//! Work and memory of a solution, predicted before it begins.

use super::sub_band::SubBand;
use crate::scene::Room;
use crate::wave_field::bodies::LayerBand;
use crate::wave_field::boundary::SurfaceBasis;
use crate::wave_field::limits::MAX_BYTES;

/// Floating-point operations that one processor does in a second on these systems: between a processor
/// with vectors of four numbers and one with eight, which was measured at 25e9.
const OPERATIONS_PER_S: f64 = 15e9;

/// Complex matrices that one system holds while it is factorized.
const MATRICES: usize = 4;
/// Bytes of a complex number.
const COMPLEX_BYTES: usize = 16;

impl SubBand {
    /// Number of unknowns of a system.
    pub(super) fn unknowns(&self) -> usize {
        self.condensation.kept.len()
    }

    /// Systems that may be in memory at a time.
    pub(super) fn systems_at_a_time(&self) -> usize {
        let bytes = MATRICES * COMPLEX_BYTES * self.unknowns() * self.unknowns();
        MAX_BYTES.checked_div(bytes).unwrap_or(usize::MAX).max(1)
    }

    /// Bytes of the inverses of all systems.
    pub(super) fn inverse_bytes(&self) -> usize {
        COMPLEX_BYTES * self.unknowns() * self.unknowns() * self.hz.len()
    }

    /// Time that one processor takes for all of its systems, seconds: the admittance of surfaces with
    /// panels times the Green's function, the factorization, the entries, and the
    /// layers on bodies.
    pub(super) fn predicted_s(&self) -> f64 {
        let unknowns = self.unknowns() as f64;
        let dense = self.basis.panelled_ranges().map(|range| (range.len() as f64).powi(2));
        let product = 8.0 * unknowns * dense.sum::<f64>();
        let factorization = 8.0 / 3.0 * unknowns.powi(3);
        let entries = 60.0 * unknowns.powi(2);
        let layers = self.layers.as_ref().map_or(0, LayerBand::count) as f64;
        let condensed = 2.0 * self.condensation.pairs.len() as f64;
        let layers = layers.powi(2) * (8.0 * condensed + 4.0 * self.modes.len() as f64);
        self.hz.len() as f64 * (product + factorization + entries + layers) / OPERATIONS_PER_S
    }
}

/// Number of cosines on the surfaces of a room up to the truncation at a wavenumber, rad/m.
pub(super) fn surface_functions(room: &Room, highest_per_m: f64) -> usize {
    SurfaceBasis::count(room, SubBand::truncation(highest_per_m))
}
