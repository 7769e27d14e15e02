//! Directivity at low frequencies: the first multipoles along the axis.
//!
//! A cabinet that is small against the wavelength radiates as these about its acoustic centre: the first terms of
//! its series in Legendre polynomials (Morse and Ingard, *Theoretical Acoustics*; from memory).

use super::model::{Directivity, DirectivityTable};
use super::sphere::SphereSource;
use crate::medium::bands::{BAND_COUNT, exact_hz};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Radiation to second order, relative to the far field on the axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxialMultipoles {
    /// Even part.
    pub monopole: Complex64,
    /// Part that goes with the cosine of the angle off the axis.
    pub dipole: Complex64,
    /// Part that goes with the second Legendre polynomial of that cosine.
    pub quadrupole: Complex64,
}

/// Place of the acoustic centre from the point that a speaker's position names, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AcousticCentre {
    /// Behind it, along the axis.
    pub behind_m: f64,
    /// Above it, along the cabinet's upright.
    pub above_m: f64,
}

impl Directivity {
    /// The acoustic centre at low frequencies: the middle of the cabinet's equivalent sphere, behind the woofer.
    pub fn acoustic_centre(&self) -> AcousticCentre {
        match self {
            Self::Omni | Self::Cardioid | Self::Table(_) => {
                AcousticCentre { behind_m: 0.0, above_m: 0.0 }
            }
            Self::Piston { diameter_m, cabinet } => {
                AcousticCentre { behind_m: cabinet.sphere_radius_m(*diameter_m), above_m: 0.0 }
            }
            Self::TwoWay { woofer_m, spacing_m, reference, cabinet, .. } => AcousticCentre {
                behind_m: cabinet.sphere_radius_m(*woofer_m),
                above_m: reference.woofer_up_m(*spacing_m),
            },
        }
    }

    /// Radiation about the [`Directivity::acoustic_centre`] at a frequency in hertz.
    pub fn axial_multipoles(&self, hz: f64, speed_of_sound_m_s: f64) -> AxialMultipoles {
        let parts = |monopole: f64, dipole: f64| AxialMultipoles {
            monopole: monopole.into(),
            dipole: dipole.into(),
            quadrupole: Complex64::ZERO,
        };
        match self {
            Self::Omni => parts(1.0, 0.0),
            Self::Cardioid => parts(0.5, 0.5),
            Self::Table(table) => {
                let behind = table.behind(hz);
                parts(0.5 * (1.0 + behind), 0.5 * (1.0 - behind))
            }
            Self::Piston { .. } | Self::TwoWay { .. } => {
                let ka = TAU * hz / speed_of_sound_m_s * self.acoustic_centre().behind_m;
                let [monopole, dipole, quadrupole] = SphereSource::new(ka).first_terms();
                AxialMultipoles { monopole, dipole, quadrupole }
            }
        }
    }
}

impl DirectivityTable {
    /// Pressure straight behind, relative to the axis, at a frequency in hertz: between the middles of bands along
    /// the logarithm of frequency.
    fn behind(&self, hz: f64) -> f64 {
        let Some(last) = self.level_db.last() else { return 1.0 };
        let place = (hz / exact_hz(0)).log2().clamp(0.0, (BAND_COUNT - 1) as f64);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 7")]
        let below = (place as usize).min(BAND_COUNT - 2);
        let share = place - below as f64;
        let level_db = last[below] * (1.0 - share) + last[below + 1] * share;
        10f64.powf(0.05 * level_db)
    }
}
