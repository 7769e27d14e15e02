//! Absorbing areas, and their totals in one band.

use super::enclosed_air::EnclosedAir;
use crate::medium::bands::PerBand;
use glam::DVec3;

/// Absorbing area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AbsorbingArea {
    /// Area in square metres.
    pub area_m2: f64,
    /// Random-incidence absorption coefficient per band, 0 to 1.
    pub absorption: PerBand<f64>,
    /// Scattering coefficient per band, 0 to 1.
    pub scattering: PerBand<f64>,
    /// Fractions of the area that face along x, y and z; their sum is one. A wall faces along one
    /// axis alone.
    pub axis_fractions: [f64; 3],
}

impl AbsorbingArea {
    /// Axis fractions of an area with this unit normal: the squares of its components, whose sum is one
    /// and which vary smoothly with its direction.
    pub fn axis_fractions_of(normal: DVec3) -> [f64; 3] {
        (normal * normal).to_array()
    }
}

/// Areas and absorption of a room in one band.
#[derive(Debug, Clone, Copy)]
pub(super) struct BandAbsorption {
    /// Total area, square metres.
    pub(super) area_m2: f64,
    /// Equivalent absorption area Σ S·α, square metres.
    pub(super) absorbed_m2: f64,
    /// Millington's absorption area Σ −S·ln(1 − α), square metres.
    pub(super) millington_m2: f64,
    /// Area that faces along each axis, square metres.
    pub(super) axis_area_m2: [f64; 3],
    /// Mean absorption coefficient of the area that faces along each axis.
    pub(super) axis_mean: [f64; 3],
    /// Absorption area 4mV of the air, square metres.
    pub(super) air_m2: f64,
}

impl BandAbsorption {
    /// Totals in a band.
    pub(super) fn new(air: &EnclosedAir, areas: &[AbsorbingArea], band: usize) -> Self {
        let mut axis_area_m2 = [0.0; 3];
        let mut axis_absorbed_m2 = [0.0; 3];
        for one in areas {
            for axis in 0..3 {
                let area = one.area_m2 * one.axis_fractions[axis];
                axis_area_m2[axis] += area;
                axis_absorbed_m2[axis] += area * one.absorption[band];
            }
        }
        let mean = |axis: usize| mean_absorption(axis_absorbed_m2[axis], axis_area_m2[axis]);
        Self {
            area_m2: areas.iter().map(|a| a.area_m2).sum(),
            absorbed_m2: areas.iter().map(|a| a.area_m2 * a.absorption[band]).sum(),
            millington_m2: areas
                .iter()
                .filter(|a| a.area_m2 > 0.0)
                .map(|a| a.area_m2 * absorption_exponent(a.absorption[band]))
                .sum(),
            axis_area_m2,
            axis_mean: [mean(0), mean(1), mean(2)],
            air_m2: 4.0 * air.volume_m3 * air.attenuation_db_per_m[band] / DB_PER_NEPER_OF_ENERGY,
        }
    }

    /// Mean absorption coefficient of the total area.
    pub(super) fn mean(&self) -> f64 {
        mean_absorption(self.absorbed_m2, self.area_m2)
    }
}

/// Absorption exponent −ln(1 − α) of a reflection, nepers of energy.
pub(super) fn absorption_exponent(absorption: f64) -> f64 {
    -(1.0 - absorption.clamp(0.0, 1.0)).ln()
}

/// Mean absorption coefficient of an area.
fn mean_absorption(absorbed_m2: f64, area_m2: f64) -> f64 {
    if area_m2 > 0.0 { (absorbed_m2 / area_m2).clamp(0.0, 1.0) } else { 0.0 }
}

/// Decibels to a neper of energy, 10·lg e.
const DB_PER_NEPER_OF_ENERGY: f64 = 10.0 * std::f64::consts::LOG10_E;
