//! Energy that a speaker emits in each direction.

use crate::medium::bands::{FrequencyGrid, PerBand};
use crate::medium::directivity::Radiator;
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use std::f64::consts::PI;

/// Directivity of a speaker, per band, tabulated in its own frame.
#[derive(Debug)]
pub(super) struct Emission {
    axis: DVec3,
    up: DVec3,
    side: DVec3,
    /// Rows from the axis backward, columns round it from straight down to straight up. A radiator
    /// has an axis and an upright alone, so both sides are alike.
    table: Vec<PerBand<f64>>,
}

/// Steps of the table from front to back, and from down to up: 4° each.
const ROWS: usize = 45;
const COLUMNS: usize = 45;

impl Emission {
    /// Tabulates a radiator whose axis is a unit vector.
    pub(super) fn new(radiator: &Radiator, axis: DVec3) -> Self {
        let up = radiator.up();
        let side = up.cross(axis);
        let energy = |index: usize| {
            let (row, column) = (index / (COLUMNS + 1), index % (COLUMNS + 1));
            let (sin_off, cos_off) = libm::sincos(PI * row as f64 / ROWS as f64);
            let (sin, cos) = libm::sincos(PI * (column as f64 / COLUMNS as f64 - 0.5));
            let direction = axis * cos_off + (side * cos + up * sin) * sin_off;
            let mut pressure = vec![Complex64::ZERO; FrequencyGrid::POINTS_PER_BAND * 8];
            radiator.pressure(direction.normalize(), &mut pressure);
            FrequencyGrid::band_energy(&pressure)
        };
        let table = (0..(ROWS + 1) * (COLUMNS + 1)).into_par_iter().map(energy).collect();
        Self { axis, up, side, table }
    }

    /// Energy relative to the axis, per band, in the direction of a unit vector.
    pub(super) fn energy(&self, direction: DVec3) -> PerBand<f64> {
        let cos_off = self.axis.dot(direction).clamp(-1.0, 1.0);
        let off = libm::acos(cos_off) / PI * ROWS as f64;
        let elevation = libm::atan2(self.up.dot(direction), self.side.dot(direction).abs());
        let round = (elevation / PI + 0.5) * COLUMNS as f64;
        #[expect(clippy::cast_sign_loss, reason = "0 to 45")]
        let (row, column) = ((off as usize).min(ROWS - 1), (round as usize).min(COLUMNS - 1));
        let (u, v) = (off - row as f64, round - column as f64);
        let entry = |row: usize, column: usize| &self.table[row * (COLUMNS + 1) + column];
        std::array::from_fn(|band| {
            let in_row = |row: usize| {
                entry(row, column)[band] * (1.0 - v) + entry(row, column + 1)[band] * v
            };
            in_row(row) * (1.0 - u) + in_row(row + 1) * u
        })
    }
}
