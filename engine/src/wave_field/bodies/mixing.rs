//! How the sources of one body's unknowns are made of its layers.

use super::SideAdmittances;
use super::layer_basis::LayeredBody;
use faer::Mat;
use num_complex::Complex64;
use std::ops::Range;

/// Factors of one body at one frequency.
#[derive(Debug, Clone)]
pub(super) struct Mixing {
    double: Range<usize>,
    single: Range<usize>,
    /// Part −(jk/2)(β₊ − β₋) of the single layer of the same function in the source of u.
    single_in_double: Option<Complex64>,
    /// −√(jk(β₊ + β₋)/2).
    single_scale: Complex64,
    /// jk·((β₊ + β₋)/4 + β), with β what flows through: what the integral of the product of two functions of u counts
    /// in the system.
    double_product: Complex64,
}

impl Mixing {
    /// For the admittances of the sides and a wavenumber, rad/m.
    pub(super) fn new(body: &LayeredBody, sides: SideAdmittances, k: Complex64) -> Self {
        let half_jk = Complex64::I * k * 0.5;
        Self {
            double: body.double.clone(),
            single: body.single.clone(),
            single_in_double: body.is_solid.then_some(-half_jk * sides.difference),
            single_scale: -(half_jk * sides.sum).sqrt(),
            double_product: half_jk * (0.5 * sides.sum + 2.0 * sides.through),
        }
    }

    /// From values of layers to those of unknowns.
    pub(super) fn apply(&self, values: &mut [Complex64]) {
        if let Some(part) = self.single_in_double {
            for (double, single) in self.double.clone().zip(self.single.clone()) {
                let single = values[single];
                values[double] += part * single;
            }
        }
        for single in &mut values[self.single.clone()] {
            *single *= self.single_scale;
        }
    }

    /// From unknowns to the strengths of the layers.
    pub(super) fn apply_transposed(&self, values: &mut [Complex64]) {
        for single in &mut values[self.single.clone()] {
            *single *= self.single_scale;
        }
        if let Some(part) = self.single_in_double {
            for (double, single) in self.double.clone().zip(self.single.clone()) {
                let double = values[double];
                values[single] += part * double;
            }
        }
    }

    /// Every row from layers to unknowns.
    pub(super) fn apply_to_rows(all: &[Self], mut matrix: Mat<Complex64>) -> Mat<Complex64> {
        for column in matrix.col_iter_mut() {
            if let Some(values) = column.try_as_col_major_mut() {
                let values = values.as_slice_mut();
                for mixing in all {
                    mixing.apply(values);
                }
            }
        }
        matrix
    }

    /// Takes from the system what makes the pressures of the two sides out of u and s.
    pub(super) fn take_products(&self, gram: &Mat<f64>, system: &mut Mat<Complex64>) {
        let parts = [
            (self.double.clone(), self.double_product),
            (self.single.clone(), Complex64::new(-0.5, 0.0)),
        ];
        for (range, scale) in parts {
            for j in range.clone() {
                for i in range.clone() {
                    system[(i, j)] -= scale * gram[(i, j)];
                }
            }
        }
    }
}
