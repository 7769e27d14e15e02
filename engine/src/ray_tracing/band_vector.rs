//! Energies or factors of the eight octave bands in single precision: one vector register.

use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::numerics::single_precision::to_f32;

/// One value for each octave band.
pub(super) type BandVector = [f32; BAND_COUNT];

/// Nearest single-precision values.
pub(super) fn band_vector(values: PerBand<f64>) -> BandVector {
    values.map(to_f32)
}

/// Product band by band.
#[inline(always)]
pub(super) fn product(energy: BandVector, factor: BandVector) -> BandVector {
    std::array::from_fn(|band| energy[band] * factor[band])
}

/// Product band by band, times one weight for all bands.
#[inline(always)]
pub(super) fn weighted_product(energy: BandVector, factor: BandVector, weight: f32) -> BandVector {
    std::array::from_fn(|band| energy[band] * factor[band] * weight)
}

/// Linear interpolation band by band.
#[inline(always)]
pub(super) fn lerp(from: &BandVector, to: &BandVector, fraction: f32) -> BandVector {
    std::array::from_fn(|band| from[band] + fraction * (to[band] - from[band]))
}
