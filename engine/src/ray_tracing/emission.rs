//! Which way rays leave, and with how much energy.

use super::stream::Stream;
use crate::medium::bands::{FrequencyGrid, PerBand};
use crate::medium::directivity::Radiator;
use glam::{DQuat, DVec3};
use num_complex::Complex64;
use rayon::prelude::*;
use std::f64::consts::{PI, TAU};

/// Directions spread evenly over the sphere (spherical Fibonacci lattice), turned at random as a
/// whole: every direction is equally likely, so a mean over turns is unbiased, and one turn covers
/// the sphere far more evenly than as many independent directions.
#[derive(Debug, Clone, Copy)]
pub(super) struct FibonacciSphere {
    count: u64,
    rotation: DQuat,
}

impl FibonacciSphere {
    pub(super) fn new(count: u64, mut stream: Stream) -> Self {
        let [a, b, c] = std::array::from_fn(|_| f64::from(stream.next()));
        // A rotation drawn evenly from all (Shoemake 1992, from memory).
        let (inner, outer) = ((1.0 - a).sqrt(), a.sqrt());
        let ((sin_b, cos_b), (sin_c, cos_c)) = (libm::sincos(TAU * b), libm::sincos(TAU * c));
        let rotation = DQuat::from_xyzw(inner * sin_b, inner * cos_b, outer * sin_c, outer * cos_c);
        Self { count, rotation: rotation.normalize() }
    }

    pub(super) fn direction(&self, index: u64) -> DVec3 {
        let golden_angle = PI * (3.0 - 5f64.sqrt());
        let z = 1.0 - (2 * index + 1) as f64 / self.count as f64;
        let radius = (1.0 - z * z).sqrt();
        let (sin, cos) = libm::sincos(golden_angle * index as f64);
        self.rotation * DVec3::new(radius * cos, radius * sin, z)
    }
}

/// A speaker's energy in any direction, per band, from a table in its own frame.
#[derive(Debug)]
pub(super) struct Emission {
    axis: DVec3,
    up: DVec3,
    side: DVec3,
    /// Rows from the axis backward, columns round it from straight down to straight up. A radiator
    /// knows its axis and its upright alone, so both sides are alike.
    table: Vec<PerBand<f64>>,
}

/// Steps of the table from the front to the back, and from down to up: 4° each.
const ROWS: usize = 45;
const COLUMNS: usize = 45;

impl Emission {
    pub(super) fn new(radiator: &Radiator, axis: DVec3) -> Self {
        let up = radiator.up();
        let side = up.cross(axis);
        let energy = |index: usize| {
            let (off, round) = (index / (COLUMNS + 1), index % (COLUMNS + 1));
            let (sin_off, cos_off) = libm::sincos(PI * off as f64 / ROWS as f64);
            let (sin, cos) = libm::sincos(PI * (round as f64 / COLUMNS as f64 - 0.5));
            let direction = axis * cos_off + (side * cos + up * sin) * sin_off;
            let mut pressure = vec![Complex64::ZERO; FrequencyGrid::POINTS_PER_BAND * 8];
            radiator.pressure(direction.normalize(), &mut pressure);
            FrequencyGrid::band_energy(&pressure)
        };
        let table = (0..(ROWS + 1) * (COLUMNS + 1)).into_par_iter().map(energy).collect();
        Self { axis, up, side, table }
    }

    /// Energy relative to the axis, per band, in a direction given by a unit vector.
    pub(super) fn energy(&self, direction: DVec3) -> PerBand<f64> {
        let cos_off = self.axis.dot(direction).clamp(-1.0, 1.0);
        let off = libm::acos(cos_off) / PI * ROWS as f64;
        let rise = libm::atan2(self.up.dot(direction), self.side.dot(direction).abs());
        let round = (rise / PI + 0.5) * COLUMNS as f64;
        #[expect(clippy::cast_sign_loss, reason = "0 to 45")]
        let (row, column) = ((off as usize).min(ROWS - 1), (round as usize).min(COLUMNS - 1));
        let (down, along) = (off - row as f64, round - column as f64);
        let at = |row: usize, column: usize| &self.table[row * (COLUMNS + 1) + column];
        std::array::from_fn(|band| {
            let across = |row: usize| {
                at(row, column)[band] * (1.0 - along) + at(row, column + 1)[band] * along
            };
            across(row) * (1.0 - down) + across(row + 1) * down
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first and second moments of an even sphere: 0 and ⅓ on every axis.
    #[test]
    fn the_lattice_is_even() {
        let directions = FibonacciSphere::new(4096, Stream::new(3, 0));
        let all: Vec<DVec3> = (0..4096).map(|i| directions.direction(i)).collect();
        let mean = all.iter().sum::<DVec3>() / 4096.0;
        let square = all.iter().map(|d| *d * *d).sum::<DVec3>() / 4096.0;
        assert!(mean.length() < 1e-3, "{mean}");
        assert!((square - DVec3::splat(1.0 / 3.0)).abs().max_element() < 1e-3, "{square}");
        assert!(all.iter().all(|d| (d.length() - 1.0).abs() < 1e-12));
    }
}
