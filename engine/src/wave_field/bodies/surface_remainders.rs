//! Green's function between layers and the cosines on the surfaces less the explicit modes.

use super::static_layers::{StaticLayers, product};
use crate::scene::{Room, Surface};
use crate::wave_field::boundary::BasisFunction;
use crate::wave_field::modes::{Mode, norm};
use faer::Mat;
use num_complex::{Complex64, ComplexFloat};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::ops::{Add, Mul};

/// Number of Chebyshev nodes in k²; with the nearest pole of what is interpolated at 1.44 times the highest k², an
/// error of some 3e-4 of it.
pub(super) const NODES: usize = 4;

/// At every node, for k² in rad²/m²: between every layer and every cosine.
pub(super) fn surface_remainders(
    room: &Room,
    layers: &StaticLayers,
    explicit: &[Mode],
    functions: &[BasisFunction],
    node_k2: &[f64; NODES],
) -> Vec<Mat<f64>> {
    let counts = explicit_along_normal(explicit);
    let highest = [0, 1, 2].map(|axis| functions.iter().map(|f| f.n[axis]).max().unwrap_or(0));
    let size = room.size();
    // Value and slope of each cosine at each coordinate of a node.
    let cosines = [0, 1, 2].map(|axis| {
        (0..=highest[axis])
            .map(|n| cosine(n, size[axis], &layers.basis.coordinates_m[axis]))
            .collect()
    });
    let at_node = |k2: &f64| {
        let column = |function: &BasisFunction| {
            let normal = function.surface.axis();
            let [a, b] = [(normal + 1) % 3, (normal + 2) % 3];
            let terms = counts.get(&(normal, function.n[a], function.n[b])).copied().unwrap_or(0);
            let along = AlongNormal::new(room, function.surface, function.k2 - k2, terms);
            layers.basis.coordinates_m[normal].iter().map(|&x_m| along.at(x_m)).collect()
        };
        let along_normal: Vec<Vec<[f64; 2]>> = functions.iter().map(column).collect();
        on_layers(layers, functions, &cosines, &along_normal)
    };
    node_k2.par_iter().map(at_node).collect()
}

/// Number of explicit modes along a normal, by its axis and the mode numbers along the two others.
fn explicit_along_normal(explicit: &[Mode]) -> BTreeMap<(usize, usize, usize), usize> {
    let mut counts = BTreeMap::new();
    for mode in explicit {
        for axis in 0..3 {
            let key = (axis, mode.n[(axis + 1) % 3], mode.n[(axis + 2) % 3]);
            let count = counts.entry(key).or_insert(0);
            *count = (*count).max(mode.n[axis] + 1);
        }
    }
    counts
}

/// Orthonormal cosine of an axis and its slope, at coordinates in metres.
fn cosine(n: usize, length_m: f64, coordinates_m: &[f64]) -> Vec<[f64; 2]> {
    let k = PI * n as f64 / length_m;
    let at = |x_m: &f64| {
        let (sin, cos) = (k * x_m).sin_cos();
        [norm(n, length_m) * cos, -k * norm(n, length_m) * sin]
    };
    coordinates_m.iter().map(at).collect()
}

/// Integrals over the layers of what each cosine makes, from its factors at the coordinates of the nodes.
fn on_layers(
    layers: &StaticLayers,
    functions: &[BasisFunction],
    cosines: &[Vec<Vec<[f64; 2]>>; 3],
    along_normal: &[Vec<[f64; 2]>],
) -> Mat<f64> {
    let mut sums = Mat::zeros(layers.basis.count(), functions.len());
    for face in &layers.basis.faces {
        let nodes = face.nodes.len();
        let mut value = Mat::<f64>::zeros(nodes, functions.len());
        let mut slope = Mat::<f64>::zeros(nodes, functions.len());
        for (column, function) in functions.iter().enumerate() {
            let normal = function.surface.axis();
            let factors: [&Vec<[f64; 2]>; 3] = std::array::from_fn(|axis| {
                if axis == normal {
                    &along_normal[column]
                } else {
                    &cosines[axis][function.n[axis]]
                }
            });
            for (row, places) in face.coordinates.iter().enumerate() {
                let [x, y, z] = [0, 1, 2].map(|axis| factors[axis][places[axis]]);
                value[(row, column)] = x[0] * y[0] * z[0];
                slope[(row, column)] = face.normal.x * x[1] * y[0] * z[0]
                    + face.normal.y * x[0] * y[1] * z[0]
                    + face.normal.z * x[0] * y[0] * z[1];
            }
        }
        for (layered, at_nodes) in [(&face.single, &value), (&face.double, &slope)] {
            let of_face = product(layered.values.transpose(), at_nodes.as_ref());
            for column in 0..functions.len() {
                for (row, &layer) in layered.layers.iter().enumerate() {
                    sums[(layer, column)] += of_face[(row, column)];
                }
            }
        }
    }
    sums
}

/// One-dimensional Green's function from a surface less its explicit terms.
struct AlongNormal {
    length_m: f64,
    is_far: bool,
    gamma2: f64,
    terms: usize,
}

impl AlongNormal {
    fn new(room: &Room, surface: Surface, gamma2: f64, terms: usize) -> Self {
        Self { length_m: room.size()[surface.axis()], is_far: surface.is_far(), gamma2, terms }
    }

    /// Value and slope at a coordinate in metres.
    fn at(&self, x_m: f64) -> [f64; 2] {
        let Self { length_m, gamma2, .. } = *self;
        let distance_m = if self.is_far { length_m - x_m } else { x_m };
        let [value, slope] = if gamma2 <= 1e-6 {
            // A little damping keeps the closed form and the terms taken off it finite.
            let gamma = Complex64::new(gamma2, 1e-7 * gamma2.abs().max(1e-6)).sqrt();
            self.less_terms(distance_m, gamma)
        } else {
            // Beyond the cut-off everything is real.
            self.less_terms(distance_m, gamma2.sqrt())
        };
        [value, if self.is_far { -slope } else { slope }]
    }

    fn less_terms<T>(&self, distance_m: f64, gamma: T) -> [f64; 2]
    where
        T: ComplexFloat<Real = f64> + Mul<f64, Output = T> + Add<f64, Output = T>,
    {
        let length_m = self.length_m;
        let decay = |metres: f64| (gamma * -metres).exp();
        let (there, back) = (decay(distance_m), decay(2.0 * length_m - distance_m));
        let once = T::one() / (T::one() - decay(2.0 * length_m));
        let mut value = (there + back) * once / gamma;
        let mut slope = (back - there) * once;
        for n in 0..self.terms {
            let k = PI * n as f64 / length_m;
            let (sin, cos) = (k * distance_m).sin_cos();
            let weight = T::one() / (gamma * gamma + k * k) * norm(n, length_m).powi(2);
            value = value - weight * cos;
            slope = slope + weight * (k * sin);
        }
        [value.re(), slope.re()]
    }
}
