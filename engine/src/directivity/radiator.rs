//! A speaker ready to radiate: its pressure in any direction at every grid frequency.

use super::Directivity;
use crate::air::Air;
use crate::bands::FrequencyGrid;
use glam::DVec3;
use num_complex::Complex64;

/// A speaker's directivity pointed along its axis, prepared once for one state of the air and one
/// grid.
///
/// The pressure is that of the far field, relative to the axis, referred to the speaker's
/// acoustic reference point: on the axis it is 1 at every frequency, so the speaker's own on-axis
/// response is flat by definition.
#[derive(Debug, Clone)]
pub struct Radiator {
    axis: DVec3,
    pattern: Pattern,
}

#[derive(Debug, Clone)]
enum Pattern {
    Omni,
    Cardioid,
}

impl Radiator {
    /// Prepares a speaker whose axis points along the unit vector `axis`.
    pub fn new(directivity: &Directivity, axis: DVec3, air: &Air, grid: &FrequencyGrid) -> Self {
        let _ = (air, grid);
        let pattern = match directivity {
            Directivity::Cardioid => Pattern::Cardioid,
            _ => Pattern::Omni,
        };
        Self { axis, pattern }
    }

    /// Writes the far-field pressure relative to the axis, at every grid frequency, in a direction
    /// given by a unit vector from the speaker. `out` is as long as the grid.
    pub fn pressure(&self, direction: DVec3, out: &mut [Complex64]) {
        let cos_off_axis = self.axis.dot(direction).clamp(-1.0, 1.0);
        match self.pattern {
            Pattern::Omni => out.fill(Complex64::ONE),
            Pattern::Cardioid => out.fill((0.5 * (1.0 + cos_off_axis)).into()),
        }
    }
}
