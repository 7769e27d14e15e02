//! Energy transmitted by the air over a distance, tabulated.

use super::band_vector::{BandVector, band_vector, lerp};
use crate::geometry::ray_cast::packet::{RayColumn, WIDTH};
use crate::medium::bands::PerBand;
use crate::numerics::fast_floor::fast_floor;

/// Transmitted fraction of the energy, up to the longest segment in the room.
#[derive(Debug)]
pub(super) struct AirTransmission {
    /// At even steps from no distance on.
    rows: Box<[BandVector; STEPS + 2]>,
    steps_per_m: f32,
    pub(super) is_lossless: bool,
}

/// Steps over the room. Linear interpolation between them is off by (n h)²/8 for n nepers a metre and
/// steps of h: 1e-6 at 8 kHz over 20 m, far below what is known of the air.
const STEPS: usize = 128;

impl AirTransmission {
    /// For an energy attenuation in nepers a metre.
    pub(super) fn new(nepers_per_m: PerBand<f64>, longest_m: f64) -> Self {
        let transmission = |step: usize| {
            let distance_m = longest_m * step as f64 / STEPS as f64;
            band_vector(nepers_per_m.map(|n| libm::exp(-n * distance_m)))
        };
        let rows = Box::new(std::array::from_fn(transmission));
        let is_lossless = nepers_per_m.iter().all(|&n| n == 0.0);
        Self { rows, steps_per_m: (STEPS as f64 / longest_m) as f32, is_lossless }
    }

    /// Transmission over a distance of up to the longest, metres.
    #[inline(always)]
    pub(super) fn at(&self, distance_m: f32) -> BandVector {
        let (row, fraction) = fast_floor(distance_m * self.steps_per_m);
        self.lerp(row, fraction)
    }

    /// Rows and fractions toward the next ones for the distances of a packet, for [`Self::lerp`].
    #[inline(always)]
    pub(super) fn positions(
        &self,
        distances_m: &RayColumn<f32>,
    ) -> (RayColumn<u32>, RayColumn<f32>) {
        let (mut rows, mut fractions) = ([0; WIDTH], [0.0; WIDTH]);
        let steps_per_m = self.steps_per_m;
        for i in 0..WIDTH {
            (rows[i], fractions[i]) = fast_floor(distances_m[i] * steps_per_m);
        }
        (rows, fractions)
    }

    /// Transmission at a position of the table.
    #[inline(always)]
    pub(super) fn lerp(&self, row: u32, fraction: f32) -> BandVector {
        let row = (row as usize).min(STEPS);
        lerp(&self.rows[row], &self.rows[row + 1], fraction)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the exponential itself, in a room of 20 m and air of 0.1 dB a metre.
    #[test]
    fn the_table_is_an_exponential() {
        let air = AirTransmission::new([0.023; 8], 20.0);
        for i in 0..2000 {
            let distance_m = 0.01 * i as f32;
            let exact = (-0.023 * f64::from(distance_m)).exp();
            for transmission in air.at(distance_m) {
                assert!((f64::from(transmission) / exact - 1.0).abs() < 2e-6, "{distance_m}");
            }
        }
    }
}
