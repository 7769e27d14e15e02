//! How a surface answers sound pressure at low frequencies.

use crate::medium::air::Air;
use crate::medium::bands::{BAND_COUNT, PerBand, exact_hz};
use crate::medium::materials::{Material, PorousAbsorber, SurfaceModel, paris};
use num_complex::Complex64;

/// Specific acoustic admittance ρc/Z of a material at any frequency, locally reacting.
///
/// - Absorption coefficients stand for the real impedance that gives them at random incidence (Paris's
///   formula turned round, as for reflections).
/// - A porous build answers as at normal incidence, Z from its layers. Below the Schroeder frequency of a
///   small room a build is thin against the wavelength, and then its impedance hardly hangs on the
///   angle: the sine of the angle enters as its square times a depth that is small.
///
/// Band values lie at the mid-bands; between them the admittance is a straight line over log
/// frequency, and below 63 Hz and above 8 kHz it is that of the last band: nothing is known there.
#[derive(Debug, Clone)]
pub(super) enum Admittance {
    Banded(PerBand<Complex64>),
    Porous(PorousAbsorber, Air),
}

impl Admittance {
    pub(super) fn new(material: &Material, air: &Air) -> Self {
        match &material.surface_model {
            SurfaceModel::Absorption(alpha) => Self::Banded(
                alpha.map(|alpha| Complex64::from(paris::admittance_for(alpha.clamp(0.0, 1.0)))),
            ),
            SurfaceModel::Impedance(zeta) => Self::Banded(zeta.map(|zeta| zeta.inv())),
            SurfaceModel::Porous(build) => Self::Porous(*build, *air),
        }
    }

    /// At a frequency in hertz.
    pub(super) fn at(&self, hz: f64) -> Complex64 {
        match self {
            Self::Porous(build, air) => {
                let factor = build.reflection(hz, 1.0, air);
                (1.0 - factor) / (1.0 + factor)
            }
            Self::Banded(bands) => {
                let place = (hz / exact_hz(0)).log2() / (exact_hz(1) / exact_hz(0)).log2();
                let place = place.clamp(0.0, (BAND_COUNT - 1) as f64);
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "0 to 6"
                )]
                let low = (place as usize).min(BAND_COUNT - 2);
                let part = place - low as f64;
                bands[low] * (1.0 - part) + bands[low + 1] * part
            }
        }
    }
}
