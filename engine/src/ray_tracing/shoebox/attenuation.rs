//! Attenuation of the six surfaces and of the air.

use crate::medium::bands::PerBand;
use crate::numerics::single_precision::to_f32;
use crate::ray_tracing::band_vector::{BandVector, band_vector, lerp};
use crate::ray_tracing::log2_attenuation::attenuation_log2;
use std::f64::consts::LN_2;

/// Attenuations as binary logarithms.
#[derive(Debug)]
pub(in crate::ray_tracing) struct ShoeboxAttenuation {
    /// Of a hit, in the rows of [`crate::ray_tracing::reflectance::ReflectanceTable`].
    walls: Vec<BandVector>,
    /// Of a metre of air.
    pub(super) air_per_m: BandVector,
}

impl ShoeboxAttenuation {
    /// From the reflected fractions of the energy, and the energy attenuation of the air in nepers a
    /// metre.
    pub(in crate::ray_tracing) fn new(
        reflected: &[BandVector],
        nepers_per_m: PerBand<f64>,
    ) -> Self {
        let wall =
            |row: &BandVector| row.map(|reflected| to_f32(attenuation_log2(f64::from(reflected))));
        Self {
            walls: reflected.iter().map(wall).collect(),
            air_per_m: band_vector(nepers_per_m.map(|nepers| nepers / LN_2)),
        }
    }

    /// Attenuation of a hit, at a position of the table.
    #[inline(always)]
    pub(super) fn wall(&self, (row, fraction): (u32, f32)) -> BandVector {
        let (near, far) = (self.walls[row as usize], self.walls[row as usize + 1]);
        lerp(&near, &far, fraction)
    }
}
