//! Cosine basis in which the pressure on the surfaces is expanded.

use crate::scene::{Room, Surface};
use crate::wave_field::modes::norm;
use faer::Mat;
use std::f64::consts::PI;
use std::ops::Range;

/// Orthonormal cosine over one surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::wave_field) struct BasisFunction {
    pub(in crate::wave_field) surface: Surface,
    /// Half wavelengths along all three axes; nought along the normal of the surface.
    pub(in crate::wave_field) n: [usize; 3],
    /// Square of the wavenumber in the plane of the surface, rad²/m².
    pub(in crate::wave_field) k2: f64,
}

/// Basis functions of all surfaces up to a wavenumber, with their overlap integrals over the panels.
#[derive(Debug)]
pub(in crate::wave_field) struct SurfaceBasis {
    /// Functions, surface by surface.
    pub(in crate::wave_field) functions: Vec<BasisFunction>,
    /// Range of the functions of each surface.
    pub(super) ranges: Vec<Range<usize>>,
    /// Overlap integrals `∫ φ_i φ_j dS` over the panels of each material, surface by surface.
    pub(super) overlaps: Vec<Vec<Mat<f64>>>,
}

impl SurfaceBasis {
    /// Ranges of the functions of each surface without panels.
    pub(in crate::wave_field) fn uniform_ranges(&self) -> impl Iterator<Item = Range<usize>> {
        let surfaces = self.ranges.iter().zip(&self.overlaps);
        surfaces.filter(|(_, panels)| panels.is_empty()).map(|(range, _)| range.clone())
    }

    /// Ranges of the functions of each surface with panels.
    pub(in crate::wave_field) fn panelled_ranges(&self) -> impl Iterator<Item = Range<usize>> {
        let surfaces = self.ranges.iter().zip(&self.overlaps);
        surfaces.filter(|(_, panels)| !panels.is_empty()).map(|(range, _)| range.clone())
    }

    /// Number of functions on all surfaces up to a wavenumber, rad/m.
    pub(in crate::wave_field) fn count(room: &Room, wavenumber_per_m: f64) -> usize {
        let on = |surface: Surface| functions_on(surface, room, wavenumber_per_m).count();
        Surface::ALL.into_iter().map(on).sum()
    }

    /// Adds the functions of one surface, whose panels span these intervals along its two tape
    /// coordinates, metres, material by material.
    pub(super) fn push<'a>(
        &mut self,
        surface: Surface,
        room: &Room,
        wavenumber_per_m: f64,
        panels: impl Iterator<Item = &'a [[[f64; 2]; 2]]>,
    ) {
        let size = room.size();
        let first = self.functions.len();
        self.functions.extend(functions_on(surface, room, wavenumber_per_m));
        self.ranges.push(first..self.functions.len());
        let functions = &self.functions[first..];
        let along = surface.tape_axes();
        let overlaps = |intervals_m: &[[[f64; 2]; 2]]| {
            let mut sum = Mat::zeros(functions.len(), functions.len());
            for interval_m in intervals_m {
                let [a, b] = [0, 1].map(|side| {
                    let length_m = size[along[side]];
                    let orders = highest_order(wavenumber_per_m, length_m) + 1;
                    OverlapIntegrals::new(orders, length_m, interval_m[side])
                });
                for (j, other) in functions.iter().enumerate() {
                    for (i, one) in functions.iter().enumerate() {
                        sum[(i, j)] += a.of(one.n[along[0]], other.n[along[0]])
                            * b.of(one.n[along[1]], other.n[along[1]]);
                    }
                }
            }
            sum
        };
        self.overlaps.push(panels.map(overlaps).collect());
    }
}

/// Overlap integrals of pairs of cosines over an interval of one axis, by their orders.
#[derive(Debug)]
struct OverlapIntegrals {
    orders: usize,
    values: Vec<f64>,
}

impl OverlapIntegrals {
    fn new(orders: usize, length_m: f64, interval_m: [f64; 2]) -> Self {
        let pairs = (0..orders * orders).map(|i| (i / orders, i % orders));
        Self { orders, values: pairs.map(|(n, m)| overlap(n, m, length_m, interval_m)).collect() }
    }

    fn of(&self, n: usize, m: usize) -> f64 {
        self.values[n * self.orders + m]
    }
}

/// Basis functions of one surface, by rising orders.
fn functions_on(
    surface: Surface,
    room: &Room,
    wavenumber_per_m: f64,
) -> impl Iterator<Item = BasisFunction> {
    let (size, [a, b]) = (room.size(), surface.tape_axes());
    let highest = [a, b].map(|axis| highest_order(wavenumber_per_m, size[axis]));
    let pairs = (0..=highest[0]).flat_map(move |i| (0..=highest[1]).map(move |j| (i, j)));
    pairs.filter_map(move |(i, j)| {
        let mut n = [0; 3];
        (n[a], n[b]) = (i, j);
        let k2 = (PI * i as f64 / size[a]).powi(2) + (PI * j as f64 / size[b]).powi(2);
        (k2 <= wavenumber_per_m.powi(2)).then_some(BasisFunction { surface, n, k2 })
    })
}

/// Number of half wavelengths that fit on a side at a wavenumber.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
fn highest_order(wavenumber_per_m: f64, length_m: f64) -> usize {
    (wavenumber_per_m * length_m / PI) as usize
}

/// Overlap integral of two orthonormal cosines over an interval in metres, in closed form.
pub(super) fn overlap(n: usize, m: usize, length_m: f64, [from_m, to_m]: [f64; 2]) -> f64 {
    let cosine_integral = |order: f64| {
        if order == 0.0 {
            return to_m - from_m;
        }
        let k = PI * order / length_m;
        ((k * to_m).sin() - (k * from_m).sin()) / k
    };
    let orders = (n as f64, m as f64);
    let (difference, sum) = ((orders.0 - orders.1).abs(), orders.0 + orders.1);
    0.5 * norm(n, length_m)
        * norm(m, length_m)
        * (cosine_integral(difference) + cosine_integral(sum))
}

#[cfg(test)]
mod tests {
    use super::overlap;
    use crate::wave_field::modes::shape;

    /// Orthonormal over the whole side.
    #[test]
    fn whole_sides_are_orthonormal() {
        for n in 0..6 {
            for m in 0..6 {
                let expected = if n == m { 1.0 } else { 0.0 };
                assert!((overlap(n, m, 4.2, [0.0, 4.2]) - expected).abs() < 1e-12, "{n} {m}");
            }
        }
    }

    /// Closed form against the midpoint rule.
    #[test]
    fn overlaps_are_integrals() {
        for (n, m) in [(0, 0), (0, 3), (2, 2), (2, 5), (4, 1)] {
            let step = 0.9 / 9000.0;
            let at = |i: u32| 0.7 + (f64::from(i) + 0.5) * step;
            let product = |x: f64| shape(n, 3.1, x) * shape(m, 3.1, x);
            let sum: f64 = (0..9000).map(|i| product(at(i)) * step).sum();
            assert!((overlap(n, m, 3.1, [0.7, 1.6]) - sum).abs() < 1e-7, "{n} {m}");
        }
    }
}
