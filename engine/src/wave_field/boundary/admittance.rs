//! Specific acoustic admittance of materials at low frequencies.

use crate::medium::air::Air;
use crate::medium::bands::{BAND_COUNT, PerBand, exact_hz};
use crate::medium::materials::{Material, PorousAbsorber, SurfaceModel, paris};
use num_complex::Complex64;

/// Specific acoustic admittance ρc/Z of a locally reacting material at any frequency.
///
/// - Absorption coefficients stand for the real impedance that gives them at random incidence (Paris's
///   formula inverted, as for specular reflections); beyond 0.951, which no impedance gives, for the one from
///   which as much comes back straight on as in specular reflections.
/// - A porous build has the surface impedance of its layers at normal incidence. Below the Schroeder
///   frequency of a small room a build is thin against the wavelength, and its impedance hardly depends
///   on the angle of incidence: the sine of the angle enters squared, times a small depth.
///
/// Band values hold at the mid-band frequencies; between them the admittance is linear over log
/// frequency. Below 63 Hz and above 8 kHz it is that of the last band, for want of data.
#[derive(Debug, Clone)]
pub(in crate::wave_field) enum Admittance {
    Banded(PerBand<Complex64>),
    Porous(PorousAbsorber, Air),
}

impl Admittance {
    pub(in crate::wave_field) fn new(material: &Material, air: &Air) -> Self {
        match &material.surface_model {
            SurfaceModel::Absorption(alpha) => Self::Banded(
                alpha.map(|alpha| paris::admittance_straight_on(alpha.clamp(0.0, 1.0)).into()),
            ),
            SurfaceModel::Impedance(zeta) => Self::Banded(zeta.map(|zeta| zeta.inv())),
            SurfaceModel::Porous(build) => Self::Porous(*build, *air),
        }
    }

    /// Admittances of a piece hung in the open at a frequency in hertz: of either side while both have the same
    /// pressure, and while they have opposite ones. Sound goes through porous layers and nothing else.
    pub(in crate::wave_field) fn hung_at(&self, hz: f64) -> [Complex64; 2] {
        match self {
            Self::Porous(build, air) => build.hung_admittances(hz, air),
            Self::Banded(_) => [self.at(hz); 2],
        }
    }

    /// Admittance at a frequency in hertz.
    pub(in crate::wave_field) fn at(&self, hz: f64) -> Complex64 {
        match self {
            Self::Porous(build, air) => {
                let reflection = build.reflection(hz, 1.0, air);
                (1.0 - reflection) / (1.0 + reflection)
            }
            Self::Banded(bands) => {
                let band = (hz / exact_hz(0)).log2() / (exact_hz(1) / exact_hz(0)).log2();
                let band = band.clamp(0.0, (BAND_COUNT - 1) as f64);
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "0 to 6"
                )]
                let low = (band as usize).min(BAND_COUNT - 2);
                let fraction = band - low as f64;
                bands[low] * (1.0 - fraction) + bands[low + 1] * fraction
            }
        }
    }
}
