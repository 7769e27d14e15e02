//! Areas that absorb, and which way they face.

use crate::medium::bands::PerBand;
use glam::DVec3;

/// An area that absorbs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AbsorbingArea {
    /// Area in square metres.
    pub area_m2: f64,
    /// Random-incidence absorption coefficient per band, 0 to 1.
    pub absorption: PerBand<f64>,
    /// Scattering coefficient per band, 0 to 1.
    pub scattering: PerBand<f64>,
    /// Which parts of the area face along x, y and z; they add up to one. A wall faces along one
    /// axis alone.
    pub axis_fractions: [f64; 3],
}

impl AbsorbingArea {
    /// A share for each axis of an area with this unit normal: the squares of its components, which
    /// add up to one and turn smoothly from axis to axis.
    pub fn axis_fractions_of(normal: DVec3) -> [f64; 3] {
        (normal * normal).to_array()
    }
}

/// Areas and absorption of a lining in one band.
#[derive(Debug, Clone, Copy)]
pub(super) struct BandAbsorption {
    /// All areas, square metres.
    pub(super) area_m2: f64,
    /// Σ S·α, square metres.
    pub(super) absorbed_m2: f64,
    /// Σ −S·ln(1 − α), square metres.
    pub(super) millington_m2: f64,
    /// The areas that face along each axis, square metres.
    pub(super) axis_area_m2: [f64; 3],
    /// Mean absorption of those areas.
    pub(super) axis_mean: [f64; 3],
}

impl BandAbsorption {
    pub(super) fn new(absorbers: &[AbsorbingArea], band: usize) -> Self {
        let mut axis_area_m2 = [0.0; 3];
        let mut axis_absorbed_m2 = [0.0; 3];
        for absorber in absorbers {
            for axis in 0..3 {
                let area = absorber.area_m2 * absorber.axis_fractions[axis];
                axis_area_m2[axis] += area;
                axis_absorbed_m2[axis] += area * absorber.absorption[band];
            }
        }
        let mean = |axis: usize| share(axis_absorbed_m2[axis], axis_area_m2[axis]);
        Self {
            area_m2: absorbers.iter().map(|a| a.area_m2).sum(),
            absorbed_m2: absorbers.iter().map(|a| a.area_m2 * a.absorption[band]).sum(),
            millington_m2: absorbers
                .iter()
                .filter(|a| a.area_m2 > 0.0)
                .map(|a| a.area_m2 * exponent(a.absorption[band]))
                .sum(),
            axis_area_m2,
            axis_mean: [mean(0), mean(1), mean(2)],
        }
    }

    /// Mean absorption of all areas.
    pub(super) fn mean(&self) -> f64 {
        share(self.absorbed_m2, self.area_m2)
    }
}

/// Absorption exponent −ln(1 − α): what a reflection takes, in nepers of energy.
pub(super) fn exponent(absorption: f64) -> f64 {
    -(1.0 - absorption.clamp(0.0, 1.0)).ln()
}

fn share(absorbed_m2: f64, area_m2: f64) -> f64 {
    if area_m2 > 0.0 { (absorbed_m2 / area_m2).clamp(0.0, 1.0) } else { 0.0 }
}
