//! Energy against time at one listener, from one run of rays.

use super::reflectance::BandVector;
use crate::medium::bands::BAND_COUNT;

/// EnergyBins as far as energy has arrived. A run is short enough for to_f32 precision, which halves the
/// memory that it goes through.
#[derive(Debug, Clone, Default)]
pub(super) struct EnergyBins {
    rows: Vec<BandVector>,
    most: usize,
}

impl EnergyBins {
    /// None yet, and never more than so many.
    pub(super) fn new(most: usize) -> Self {
        Self { rows: Vec::new(), most }
    }

    /// Adds to one bin; what comes after the last is dropped.
    #[inline(always)]
    pub(super) fn add(&mut self, bin: usize, energy: BandVector) {
        if bin >= self.rows.len() && !self.reach(bin) {
            return;
        }
        let row = &mut self.rows[bin];
        for band in 0..BAND_COUNT {
            row[band] += energy[band];
        }
    }

    /// EnergyBins up to the last that anything came to.
    pub(super) fn rows(&self) -> &[BandVector] {
        &self.rows
    }

    #[cold]
    fn reach(&mut self, bin: usize) -> bool {
        let within = bin < self.most;
        if within {
            self.rows.resize((bin + 1).next_power_of_two().min(self.most), [0.0; BAND_COUNT]);
        }
        within
    }
}
