//! Green's functions of (κ² − ∇²)ᵐ in free space.
//!
//! The first is Yukawa's potential e^(−κR)/(4πR), the Green's function at the imaginary wavenumber jκ; each
//! further one is the last's convolution with it. They decay over a distance of 1/κ, so that few images of the room
//! matter, and the room's Green's function less a few of them is a modal sum that converges fast:
//! `1/(λ − k²) = Σ (k² + κ²)^(m−1)/(λ + κ²)ᵐ + (k² + κ²)^M/((λ − k²)(λ + κ²)^M)` (Kummer's transformation).

use crate::geometry::Rectangle;
use glam::DVec3;
use std::f64::consts::PI;

/// Number M of the functions.
pub(super) const ORDERS: usize = 4;

/// Values at a distance of the functions of every order, and their slopes over the distance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Yukawa {
    pub(super) value: [f64; ORDERS],
    /// `(dg/dR)/R`.
    pub(super) slope_over_r: [f64; ORDERS],
}

impl Yukawa {
    /// At a distance R in metres, for κ in 1/m.
    pub(super) fn at(kappa: f64, r: f64) -> Self {
        let decay = (-kappa * r).exp();
        let first = decay / (4.0 * PI * r);
        let value = [
            first,
            decay / (8.0 * PI * kappa),
            decay * (1.0 + kappa * r) / (32.0 * PI * kappa.powi(3)),
            decay * (3.0 + 3.0 * kappa * r + (kappa * r).powi(2)) / (192.0 * PI * kappa.powi(5)),
        ];
        let slope_over_r = [
            -first * (1.0 + kappa * r) / (r * r),
            -value[0] / 2.0,
            -value[1] / 4.0,
            -value[2] / 6.0,
        ];
        Self { value, slope_over_r }
    }
}

/// Value of the functions from a cell to a point and their derivative along the cell's normal, both for a unit source at
/// its node. Nearer than `near_m` the singular part of the first order is its mean over the cell.
pub(super) fn from_cell(
    kappa: f64,
    cell: &Rectangle,
    [node, point]: [DVec3; 2],
    normal: DVec3,
    near_m: f64,
) -> [[f64; ORDERS]; 2] {
    let offset = point - node;
    let r = offset.length();
    let along_normal = offset.dot(normal);
    if near_m < r {
        let Yukawa { value, slope_over_r } = Yukawa::at(kappa, r);
        return [value, slope_over_r.map(|slope| -slope * along_normal)];
    }
    // The singular part is taken over the cell, the rest at its node.
    let away_m = r.max(1e-6 / kappa);
    let Yukawa { mut value, slope_over_r } = Yukawa::at(kappa, away_m);
    let mut along = slope_over_r.map(|slope| -slope * along_normal);
    let [mean_inverse, mean_angle] = rectangle_means(cell, point);
    value[0] += (mean_inverse - 1.0 / away_m) / (4.0 * PI);
    along[0] += (mean_angle - along_normal / away_m.powi(3)) / (4.0 * PI);
    // Of a slope over R that grows as 1/R nothing is left in the plane of the cell.
    if along_normal.abs() < 1e-9 {
        along = [mean_angle / (4.0 * PI), 0.0, 0.0, 0.0];
    }
    [value, along]
}

/// Means over a rectangle of 1/R, in closed form, and of `d·n/R³`, which is the solid angle over the area; d is from
/// the rectangle to the point.
pub(super) fn rectangle_means(rectangle: &Rectangle, point: DVec3) -> [f64; 2] {
    let offset = point - rectangle.centre;
    let x = offset.dot(rectangle.along);
    let y = offset.dot(rectangle.across());
    let z = offset.dot(rectangle.normal);
    let (a, b) = (rectangle.half_along_m, rectangle.half_across_m);
    let (mut inverse, mut angle) = (0.0, 0.0);
    for (sign_x, x) in [(1.0, x + a), (-1.0, x - a)] {
        for (sign_y, y) in [(1.0, y + b), (-1.0, y - b)] {
            let sign = sign_x * sign_y;
            let r = (x * x + y * y + z * z).sqrt();
            let term = |one: f64, other: f64| {
                let beside = one.hypot(z);
                if beside < 1e-12 { 0.0 } else { one * (other / beside).asinh() }
            };
            let turn = if z.abs() < 1e-12 { 0.0 } else { (x * y / (z * r)).atan() };
            inverse += sign * (term(x, y) + term(y, x) - z * turn);
            angle += sign * turn;
        }
    }
    let area = 4.0 * a * b;
    [inverse / area, angle / area]
}

#[cfg(test)]
mod tests {
    use super::{Yukawa, rectangle_means};
    use crate::geometry::Rectangle;
    use glam::DVec3;
    use std::f64::consts::PI;

    /// `(κ² − ∇²)g_m = g_(m−1)`, by differences.
    #[test]
    fn each_order_is_made_of_the_one_before() {
        let (kappa, r, step) = (3.1, 0.7, 1e-3);
        let [before, here, after] = [-step, 0.0, step].map(|d| Yukawa::at(kappa, r + d));
        for m in 1..4 {
            let second = (before.value[m] - 2.0 * here.value[m] + after.value[m]) / (step * step);
            let slope = (after.value[m] - before.value[m]) / (2.0 * step);
            assert!((slope / r - here.slope_over_r[m]).abs() < 1e-6);
            let applied = kappa * kappa * here.value[m] - second - 2.0 * slope / r;
            assert!((applied - here.value[m - 1]).abs() < 1e-5 * here.value[m - 1]);
        }
    }

    /// The mean of 1/R over a unit square at its own middle is 4·ln(1 + √2), and the solid angle of a face of a cube
    /// from its middle a sixth of all.
    #[test]
    fn a_square_has_the_known_potential() {
        let square = Rectangle {
            centre: DVec3::ZERO,
            normal: DVec3::Z,
            along: DVec3::X,
            half_along_m: 0.5,
            half_across_m: 0.5,
        };
        let [inverse, _] = rectangle_means(&square, DVec3::ZERO);
        assert!((inverse - 4.0 * (1.0 + 2.0f64.sqrt()).ln()).abs() < 1e-12);
        let [_, angle] = rectangle_means(&square, DVec3::new(0.0, 0.0, 0.5));
        assert!((angle - 4.0 * PI / 6.0).abs() < 1e-12);
        let [_, behind] = rectangle_means(&square, DVec3::new(0.0, 0.0, -0.5));
        assert!((behind + 4.0 * PI / 6.0).abs() < 1e-12);
    }
}
