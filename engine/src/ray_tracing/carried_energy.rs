//! The energy that a packet carries, and what is paid out of it.

use super::path_packet::Column;
use super::reflectance::BandVector;
use crate::medium::bands::{BAND_COUNT, PerBand};

/// What all rays of a packet carry together, per band, as last counted.
///
/// Whatever takes energy from the rays counts them afterwards; the difference goes to its account
/// and the new count stays here for the next. Each count stands once with a minus and once with a
/// plus, so the accounts balance however it was rounded. Takings of one account in a row need no
/// count between them.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct CarriedEnergy(PerBand<f64>);

impl CarriedEnergy {
    /// A ray joins.
    #[inline(always)]
    pub(super) fn credit(&mut self, entry: &mut PerBand<f64>, energy: BandVector) {
        for band in 0..BAND_COUNT {
            entry[band] += f64::from(energy[band]);
            self.0[band] += f64::from(energy[band]);
        }
    }

    /// One ray gives some of its energy, or (negative) is given some.
    #[inline(always)]
    pub(super) fn debit(&mut self, entry: &mut PerBand<f64>, energy: BandVector) {
        for band in 0..BAND_COUNT {
            entry[band] += f64::from(energy[band]);
            self.0[band] -= f64::from(energy[band]);
        }
    }

    /// All rays were counted anew: what is missing went to this account.
    #[inline(always)]
    pub(super) fn reconcile(&mut self, entry: &mut PerBand<f64>, count: &PacketEnergy) {
        let count = count.sum();
        for band in 0..BAND_COUNT {
            entry[band] += self.0[band] - count[band];
        }
        self.0 = count;
    }

    /// The packet is empty; what rounding left over goes to this account.
    pub(super) fn finish(self, entry: &mut PerBand<f64>) {
        for (entry, rest) in entry.iter_mut().zip(self.0) {
            *entry += rest;
        }
    }
}

/// A sum over the rays of a packet, in parts that do not wait for each other.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct PacketEnergy([BandVector; PARTS]);

const PARTS: usize = 4;

impl PacketEnergy {
    /// Does something with the energy of every ray and counts what comes of it. All places of the
    /// packet are gone through: those without a ray have no energy.
    #[inline(always)]
    pub(super) fn of_changed(
        energies: &mut Column<BandVector>,
        mut change: impl FnMut(usize, BandVector) -> BandVector,
    ) -> Self {
        let mut parts = [[0.0; BAND_COUNT]; PARTS];
        for (i, row) in energies.iter_mut().enumerate() {
            let energy = change(i, *row);
            *row = energy;
            let part = &mut parts[i % PARTS];
            for band in 0..BAND_COUNT {
                part[band] += energy[band];
            }
        }
        Self(parts)
    }

    #[inline(always)]
    fn sum(&self) -> PerBand<f64> {
        let [a, b, c, d] = &self.0;
        let double = f64::from;
        std::array::from_fn(|i| (double(a[i]) + double(b[i])) + (double(c[i]) + double(d[i])))
    }
}
