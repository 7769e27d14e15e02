//! Field of all sources at one frequency, as it leaves the solver.

use num_complex::Complex64;

/// Field of all sources at one frequency.
#[derive(Debug, Clone)]
pub(crate) struct FieldAtReceivers {
    /// Pressure of each source at each receiver, re the source's at 1 m in a free field.
    pub(crate) pressure: Vec<Vec<Complex64>>,
    /// Amplitude of each explicit mode, source by source.
    pub(in crate::wave_field) modal_amplitudes: Vec<Vec<Complex64>>,
}

impl FieldAtReceivers {
    /// Space for so many sources, receivers and modes. That of all frequencies is made before the first
    /// matrix: made between them, it would lie where one of them was, the next would not fit there any
    /// more, and memory would grow by a matrix a frequency.
    pub(super) fn with_capacity(sources: usize, receivers: usize, modes: usize) -> Self {
        let space = |each: usize| (0..sources).map(|_| Vec::with_capacity(each)).collect();
        Self { pressure: space(receivers), modal_amplitudes: space(modes) }
    }
}
