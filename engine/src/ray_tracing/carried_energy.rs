//! Energy carried by a packet, and its transfers to the energy balance.

use super::band_vector::BandVector;
use crate::geometry::ray_cast::packet::RayColumn;
use crate::medium::bands::{BAND_COUNT, PerBand};

/// Energy of all rays of a packet together, per band, as last summed.
///
/// Whatever takes energy from the rays sums them afterwards; the difference goes to its entry of the
/// balance and the new sum stays here for the next. Each sum stands once with a minus and once with a
/// plus, so the balance closes however it was rounded. Losses of one entry in a row need no sum between
/// them.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct CarriedEnergy(PerBand<f64>);

impl CarriedEnergy {
    /// Adds a launched ray to both the packet and the entry.
    #[inline(always)]
    pub(super) fn credit(&mut self, entry: &mut PerBand<f64>, energy: BandVector) {
        for band in 0..BAND_COUNT {
            entry[band] += f64::from(energy[band]);
            self.0[band] += f64::from(energy[band]);
        }
    }

    /// Moves energy of one ray, possibly negative, to the entry.
    #[inline(always)]
    pub(super) fn debit(&mut self, entry: &mut PerBand<f64>, energy: BandVector) {
        for band in 0..BAND_COUNT {
            entry[band] += f64::from(energy[band]);
            self.0[band] -= f64::from(energy[band]);
        }
    }

    /// Moves what a new sum over all rays lacks to the entry.
    #[inline(always)]
    pub(super) fn reconcile(&mut self, entry: &mut PerBand<f64>, energy: &PacketEnergy) {
        let sum = energy.sum();
        for band in 0..BAND_COUNT {
            entry[band] += self.0[band] - sum[band];
        }
        self.0 = sum;
    }

    /// Moves what rounding left over from an empty packet to the entry.
    pub(super) fn finish(self, entry: &mut PerBand<f64>) {
        for (entry, rest) in entry.iter_mut().zip(self.0) {
            *entry += rest;
        }
    }
}

/// Sum over the rays of a packet, in parts that do not wait for each other.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct PacketEnergy([BandVector; PARTS]);

const PARTS: usize = 4;

impl PacketEnergy {
    /// Changes the energy of every ray and sums the results. All columns take part: those without a
    /// ray hold no energy.
    #[inline(always)]
    pub(super) fn of_changed(
        energies: &mut RayColumn<BandVector>,
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
