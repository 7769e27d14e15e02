//! Energy histogram of one batch of rays at one receiver.

use super::band_vector::BandVector;
use crate::medium::bands::BAND_COUNT;

/// Bins up to the last that holds energy. A batch is small enough for single precision, which halves
/// the memory traffic.
#[derive(Debug, Clone, Default)]
pub(super) struct EnergyBins {
    rows: Vec<BandVector>,
    max_bins: usize,
}

impl EnergyBins {
    /// Empty, and never longer than so many bins.
    pub(super) fn new(max_bins: usize) -> Self {
        Self { rows: Vec::new(), max_bins }
    }

    /// Adds to one bin; what comes after the last is dropped.
    #[inline(always)]
    pub(super) fn add(&mut self, bin: usize, energy: BandVector) {
        if bin >= self.rows.len() && !self.grow_to(bin) {
            return;
        }
        let row = &mut self.rows[bin];
        for band in 0..BAND_COUNT {
            row[band] += energy[band];
        }
    }

    /// Bins up to the last that holds energy.
    pub(super) fn rows(&self) -> &[BandVector] {
        &self.rows
    }

    /// Makes room for a bin; `false` beyond the last.
    #[cold]
    fn grow_to(&mut self, bin: usize) -> bool {
        let fits = bin < self.max_bins;
        if fits {
            self.rows.resize((bin + 1).next_power_of_two().min(self.max_bins), [0.0; BAND_COUNT]);
        }
        fits
    }
}
