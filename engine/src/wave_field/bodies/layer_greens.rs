//! Green's function between the layers on bodies, the cosines on the surfaces and points, at one frequency.
//!
//! The explicit modes of a sub-band are summed at every frequency, with loss; the rest is smooth in k² and
//! interpolated, as for points (`modal_remainder`).

use super::RoomBodies;
use super::static_layers::{StaticLayers, product};
use super::yukawa::ORDERS;
use crate::scene::Room;
use crate::wave_field::axial_greens::between;
use crate::wave_field::boundary::BasisFunction;
use crate::wave_field::chebyshev_range::{ChebyshevRange, NODES};
use crate::wave_field::modes::{Mode, norm, shape};
use faer::Mat;
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::sync::Arc;

/// Layers within a sub-band.
#[derive(Debug)]
pub(in crate::wave_field) struct LayerBand {
    layers: Arc<StaticLayers>,
    bodies: RoomBodies,
    range: ChebyshevRange,
    explicit_modes: usize,
    /// Remainder between two layers, at every node.
    between: Vec<Mat<f64>>,
    /// Remainder between layers and the cosines on the surfaces, at every node.
    surfaces: Vec<Mat<f64>>,
    /// Integral of each layer over each mode times the mode's weight, at every node.
    on_modes: Vec<Mat<f64>>,
}

/// Remainder of the Green's function between a point and each layer, at every node.
#[derive(Debug, Clone, Default)]
pub(in crate::wave_field) struct PointLayers(Vec<[f64; NODES]>);

/// Layers at one frequency. The unknown of a double layer is u, that of a single layer √(jk(β₊ + β₋)/2)·s, by which
/// the system is symmetric.
#[derive(Debug, Clone)]
pub(in crate::wave_field) struct LayerGreens {
    /// Green's function between two layers less the integrals of products of two, times what makes the pressures of
    /// the two sides of it.
    pub(in crate::wave_field) system: Mat<Complex64>,
    /// Between a layer and a cosine on a surface.
    pub(in crate::wave_field) surfaces: Mat<Complex64>,
    /// Integral of each layer over each explicit mode.
    pub(in crate::wave_field) on_modes: Mat<Complex64>,
    interpolation: [Complex64; NODES],
    mixing: Vec<Mixing>,
}

/// How the sources of one body's unknowns are made of its layers.
#[derive(Debug, Clone)]
struct Mixing {
    double: std::ops::Range<usize>,
    single: std::ops::Range<usize>,
    /// Part of the single layer of the same function in that of u.
    single_in_double: Option<Complex64>,
    single_scale: Complex64,
    double_product: Complex64,
}

impl LayerBand {
    /// For the explicit modes, cosines on the surfaces and edges in k² of a sub-band.
    pub(in crate::wave_field) fn new(
        room: &Room,
        bodies: &RoomBodies,
        layers: &Arc<StaticLayers>,
        explicit: &[Mode],
        functions: &[BasisFunction],
        range: ChebyshevRange,
    ) -> Self {
        let explicit_modes = explicit.len();
        let node_k2 = range.nodes();
        let count = layers.basis.count();
        let kappa2 = layers.kappa * layers.kappa;
        let weighted = |k2: &f64| {
            let weights: Vec<f64> = layers
                .modes
                .iter()
                .enumerate()
                .map(|(n, mode)| layers.mode_weight(mode, *k2, n < explicit_modes))
                .collect();
            Mat::from_fn(count, layers.modes.len(), |i, n| layers.on_modes[(i, n)] * weights[n])
        };
        let on_modes: Vec<Mat<f64>> = node_k2.par_iter().map(weighted).collect();
        let of_node = |(k2, on_modes): (&f64, &Mat<f64>)| {
            let mut sum = product(on_modes.as_ref(), layers.on_modes.transpose());
            for (order, part) in layers.between.iter().enumerate() {
                let power = (k2 + kappa2).powi(i32::try_from(order).unwrap_or(0));
                sum += part * faer::Scale(power);
            }
            sum
        };
        let between = node_k2.par_iter().zip(&on_modes).map(of_node).collect();
        let surfaces = surface_remainders(room, layers, explicit, functions, &node_k2);
        Self {
            layers: Arc::clone(layers),
            bodies: bodies.clone(),
            range,
            explicit_modes,
            between,
            surfaces,
            on_modes,
        }
    }

    /// Number of layers.
    pub(in crate::wave_field) fn count(&self) -> usize {
        self.layers.basis.count()
    }

    /// Points.
    pub(in crate::wave_field) fn at_points(&self, room: &Room, points: &[DVec3]) -> Vec<PointLayers> {
        let count = self.count();
        let kappa2 = self.layers.kappa * self.layers.kappa;
        let node_k2 = self.range.nodes();
        let some = |points: &[DVec3]| -> Vec<PointLayers> {
            let shapes = shapes(room, &self.layers.modes, points);
            let modal: Vec<Mat<f64>> =
                self.on_modes.iter().map(|on_modes| product(on_modes.as_ref(), shapes.as_ref())).collect();
            let at_point = |(index, &point): (usize, &DVec3)| {
                let fixed = self.layers.at_point(point);
                let layer = |i: usize| {
                    std::array::from_fn(|node| {
                        let orders = (0..ORDERS).rev();
                        let polynomial =
                            orders.fold(0.0, |sum, m| sum * (node_k2[node] + kappa2) + fixed[(i, m)]);
                        polynomial + modal[node][(i, index)]
                    })
                };
                PointLayers((0..count).map(layer).collect())
            };
            points.iter().enumerate().map(at_point).collect()
        };
        points.par_chunks(32).flat_map_iter(some).collect()
    }

    /// At a frequency in hertz and its wavenumber with loss, rad/m.
    pub(in crate::wave_field) fn at(&self, hz: f64, k: Complex64, explicit: &[Mode]) -> LayerGreens {
        let k2 = k * k;
        let interpolation = self.range.weights(k2);
        let mixing: Vec<Mixing> = self
            .bodies
            .bodies
            .iter()
            .zip(&self.layers.basis.bodies)
            .map(|(body, layered)| {
                let sides = body.admittances(hz);
                let half_jk = Complex64::I * k * 0.5;
                Mixing {
                    double: layered.double.clone(),
                    single: layered.single.clone(),
                    single_in_double: layered.is_solid.then_some(-half_jk * sides.difference),
                    single_scale: -(half_jk * sides.sum).sqrt(),
                    double_product: 0.5 * half_jk * sides.sum,
                }
            })
            .collect();
        let count = self.count();
        let poles: Vec<Complex64> =
            explicit.iter().map(|mode| (mode.wavenumber_per_m.powi(2) - k2).inv()).collect();
        let modal = self.layers.on_modes.get(.., ..self.explicit_modes);
        // The sum over the explicit modes, its real and imaginary parts apart.
        let explicit_sum = |part: fn(&Complex64) -> f64| {
            let scaled = Mat::from_fn(count, poles.len(), |i, n| modal[(i, n)] * part(&poles[n]));
            product(scaled.as_ref(), modal.transpose())
        };
        let (real, imaginary) = (explicit_sum(|pole| pole.re), explicit_sum(|pole| pole.im));
        let mut own = Mat::from_fn(count, count, |i, j| {
            let remainder: Complex64 =
                interpolation.iter().zip(&self.between).map(|(w, node)| w * node[(i, j)]).sum();
            remainder + Complex64::new(real[(i, j)], imaginary[(i, j)])
        });
        let surfaces = Mat::from_fn(count, self.surfaces[0].ncols(), |i, j| {
            interpolation.iter().zip(&self.surfaces).map(|(w, node)| w * node[(i, j)]).sum()
        });
        let mut greens = LayerGreens {
            system: Mat::zeros(0, 0),
            surfaces,
            on_modes: Mat::from_fn(count, poles.len(), |i, n| modal[(i, n)].into()),
            interpolation,
            mixing,
        };
        greens.mix_rows(&mut own);
        let mut own = own.transpose().to_owned();
        greens.mix_rows(&mut own);
        let gram = &self.layers.basis.gram;
        for mixing in &greens.mixing {
            for (range, scale) in [
                (&mixing.double, mixing.double_product),
                (&mixing.single, Complex64::new(-0.5, 0.0)),
            ] {
                for j in range.clone() {
                    for i in range.clone() {
                        own[(i, j)] -= scale * gram[(i, j)];
                    }
                }
            }
        }
        greens.system = own;
        let mut surfaces = std::mem::replace(&mut greens.surfaces, Mat::zeros(0, 0));
        greens.mix_rows(&mut surfaces);
        greens.surfaces = surfaces;
        let mut on_modes = std::mem::replace(&mut greens.on_modes, Mat::zeros(0, 0));
        greens.mix_rows(&mut on_modes);
        greens.on_modes = on_modes;
        greens
    }
}

impl LayerGreens {
    /// Number of layers.
    pub(in crate::wave_field) fn count(&self) -> usize {
        self.system.nrows()
    }

    /// Green's function between a point and the unknowns less the explicit modes.
    pub(in crate::wave_field) fn remainder(&self, point: &PointLayers) -> Vec<Complex64> {
        let mut values: Vec<Complex64> = point
            .0
            .iter()
            .map(|nodes| self.interpolation.iter().zip(nodes).map(|(w, value)| w * value).sum())
            .collect();
        for mixing in &self.mixing {
            mixing.apply(&mut values);
        }
        values
    }

    /// Green's function between a point and the unknowns, from the shapes of the explicit modes over their poles.
    pub(in crate::wave_field) fn projection(
        &self,
        point: &PointLayers,
        modal: &[Complex64],
    ) -> Vec<Complex64> {
        let mut values = self.remainder(point);
        for (column, modal) in self.on_modes.col_iter().zip(modal) {
            for (value, on_mode) in values.iter_mut().zip(column.iter()) {
                *value += on_mode * modal;
            }
        }
        values
    }

    fn mix_rows(&self, matrix: &mut Mat<Complex64>) {
        for column in matrix.col_iter_mut() {
            if let Some(values) = column.try_as_col_major_mut() {
                let values = values.as_slice_mut();
                for mixing in &self.mixing {
                    mixing.apply(values);
                }
            }
        }
    }
}

impl Mixing {
    fn apply(&self, values: &mut [Complex64]) {
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
}

/// Shapes of modes at points, a column for each.
fn shapes(room: &Room, modes: &[Mode], points: &[DVec3]) -> Mat<f64> {
    let size = room.size();
    let highest = [0, 1, 2].map(|axis| modes.iter().map(|mode| mode.n[axis]).max().unwrap_or(0));
    let mut shapes = Mat::zeros(modes.len(), points.len());
    for (column, point) in points.iter().enumerate() {
        let factors = [0, 1, 2].map(|axis| {
            (0..=highest[axis]).map(|n| shape(n, size[axis], point[axis])).collect::<Vec<f64>>()
        });
        for (row, mode) in modes.iter().enumerate() {
            shapes[(row, column)] = (0..3).map(|axis| factors[axis][mode.n[axis]]).product();
        }
    }
    shapes
}

/// Green's function between layers and the cosines on the surfaces less the explicit modes, at every node.
fn surface_remainders(
    room: &Room,
    layers: &StaticLayers,
    explicit: &[Mode],
    functions: &[BasisFunction],
    node_k2: &[f64; NODES],
) -> Vec<Mat<f64>> {
    let counts = explicit_along_normal(explicit);
    let of_function = |function: &BasisFunction| -> Vec<Vec<f64>> {
        let normal = function.surface.axis();
        let [a, b] = [(normal + 1) % 3, (normal + 2) % 3];
        let terms = counts.get(&(normal, function.n[a], function.n[b])).copied().unwrap_or(0);
        node_k2
            .iter()
            .map(|k2| SurfaceColumn { room, layers, function, terms, k2: *k2 }.values())
            .collect()
    };
    let columns: Vec<Vec<Vec<f64>>> = functions.par_iter().map(of_function).collect();
    let count = layers.basis.count();
    (0..NODES)
        .map(|node| Mat::from_fn(count, functions.len(), |i, j| columns[j][node][i]))
        .collect()
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

/// One cosine on a surface, at one k².
struct SurfaceColumn<'a> {
    room: &'a Room,
    layers: &'a StaticLayers,
    function: &'a BasisFunction,
    /// Explicit modes along the normal.
    terms: usize,
    k2: f64,
}

impl SurfaceColumn<'_> {
    /// Remainder between the cosine and every layer.
    fn values(&self) -> Vec<f64> {
        let size = self.room.size();
        let normal = self.function.surface.axis();
        let mut along_normal: BTreeMap<u64, [f64; 2]> = BTreeMap::new();
        let factor = |axis: usize, x_m: f64| {
            let n = self.function.n[axis];
            let k = PI * n as f64 / size[axis];
            let (sin, cos) = (k * x_m).sin_cos();
            [norm(n, size[axis]) * cos, -k * norm(n, size[axis]) * sin]
        };
        let mut factors: [BTreeMap<u64, [f64; 2]>; 3] = Default::default();
        let mut values = vec![0.0; self.layers.basis.count()];
        for face in &self.layers.basis.faces {
            let mut at_nodes = Mat::<f64>::zeros(2, face.nodes.len());
            for (index, node) in face.nodes.iter().enumerate() {
                let mut parts = [[0.0; 2]; 3];
                for axis in 0..3 {
                    let x_m = node[axis];
                    parts[axis] = if axis == normal {
                        *along_normal.entry(x_m.to_bits()).or_insert_with(|| self.along_normal(x_m))
                    } else {
                        *factors[axis].entry(x_m.to_bits()).or_insert_with(|| factor(axis, x_m))
                    };
                }
                let [x, y, z] = parts;
                let gradient =
                    DVec3::new(x[1] * y[0] * z[0], x[0] * y[1] * z[0], x[0] * y[0] * z[1]);
                at_nodes[(0, index)] = x[0] * y[0] * z[0];
                at_nodes[(1, index)] = face.normal.dot(gradient);
            }
            for (row, layers) in [(0, &face.single), (1, &face.double)] {
                for (column, &layer) in layers.layers.iter().enumerate() {
                    let terms = layers.values.col(column).iter().enumerate();
                    values[layer] +=
                        terms.map(|(node, value)| value * at_nodes[(row, node)]).sum::<f64>();
                }
            }
        }
        values
    }

    /// Remainder of the one-dimensional Green's function from the surface, and its slope, at a coordinate.
    fn along_normal(&self, x_m: f64) -> [f64; 2] {
        let axis = self.function.surface.axis();
        let length_m = self.room.size()[axis];
        let is_far = self.function.surface.is_far();
        let gamma2 = self.function.k2 - self.k2;
        // A little damping keeps the closed form and the terms taken off it finite.
        let gamma = Complex64::new(gamma2, 1e-7 * gamma2.abs().max(1e-6)).sqrt();
        let distance_m = if is_far { length_m - x_m } else { x_m };
        let sense = if is_far { -1.0 } else { 1.0 };
        let mut value = between(gamma, length_m, [0.0, distance_m]);
        let round_trip = (-2.0 * gamma * length_m).exp();
        let (there, back) =
            ((-gamma * distance_m).exp(), (-gamma * (2.0 * length_m - distance_m)).exp());
        let mut slope = (back - there) / (1.0 - round_trip);
        for n in 0..self.terms {
            let k = PI * n as f64 / length_m;
            let (sin, cos) = (k * distance_m).sin_cos();
            let weight = norm(n, length_m).powi(2) / (k * k + gamma * gamma);
            value -= weight * cos;
            slope += weight * k * sin;
        }
        [value.re, sense * slope.re]
    }
}
