//! What of the rigid room's Green's function between layers does not depend on frequency.
//!
//! The Green's functions of (κ² − ∇²)ᵐ in the rigid room are sums over few images. Between double layers the
//! two derivatives are shifted onto the densities (Maue's identity; Colton and Kress, from memory):
//! `∂n∂n′g = −n·n′ ∇²g − (n × ∇)·(n′ × ∇′)g`, so that no integral is worse than that of 1/R.

use super::RoomBodies;
use super::face_sums::FaceSums;
use super::layer_basis::{FaceLayers, LayerBasis, LayeredFace};
use super::yukawa::{ORDERS, from_cell};
use crate::numerics::simd_dispatch::dispatch_simd;
use crate::scene::Room;
use crate::wave_field::modes::{Mode, modes_up_to, norm, shape};
use faer::linalg::matmul::matmul;
use faer::{Accum, Mat, MatRef, Par};
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use std::f64::consts::PI;

/// κ·L of the shortest side of the room, at least, so that few images of the room reach into it.
const MIN_KAPPA_LENGTH: f64 = 6.0;
/// Exponent κR beyond which an image is left out.
const FARTHEST_NEPERS: f64 = 9.0;
/// End of the modal sum, in κ.
const MODE_TRUNCATION: f64 = 2.0;

/// Layers of a range of frequencies with what of their Green's function is the same at all.
#[derive(Debug)]
pub(in crate::wave_field) struct StaticLayers {
    pub(super) basis: LayerBasis,
    pub(super) kappa: f64,
    images: Vec<Image>,
    /// Green's function of each order between two layers.
    pub(super) between: [Mat<f64>; ORDERS],
    /// Modes of the sum that is left.
    pub(super) modes: Vec<Mode>,
    /// Integral of each layer over each mode.
    pub(super) on_modes: Mat<f64>,
}

/// Image of the room: each coordinate times a sign plus an offset in metres.
#[derive(Debug, Clone, Copy)]
struct Image {
    sign: DVec3,
    offset: DVec3,
}

impl StaticLayers {
    /// Layers for wavenumbers up to the highest, rad/m.
    pub(in crate::wave_field) fn new(room: &Room, bodies: &RoomBodies, highest_per_m: f64) -> Self {
        let basis = LayerBasis::of(room, bodies, highest_per_m);
        let size = room.size();
        let kappa = highest_per_m.max(MIN_KAPPA_LENGTH / size.min_element());
        let images = images(size, FARTHEST_NEPERS / kappa);
        let modes = modes_up_to(room, MODE_TRUNCATION * kappa);
        let on_modes = on_modes(room, &basis, &modes);
        let between = between(&basis, kappa, &images);
        Self { basis, kappa, images, between, modes, on_modes }
    }

    /// Weight of a mode in the sum that is left, at a k² in rad²/m².
    pub(super) fn mode_weight(&self, mode: &Mode, k2: Complex64) -> Complex64 {
        let kappa2 = self.kappa * self.kappa;
        let lambda = mode.wavenumber_per_m.powi(2);
        let ratio = (k2 + kappa2) / (lambda + kappa2);
        // The fourth power, for the four orders.
        (ratio * ratio) * (ratio * ratio) / (lambda - k2)
    }

    /// The same less the mode's own term 1/(λ − k²).
    pub(super) fn weight_less_own(&self, mode: &Mode, k2: f64) -> f64 {
        let kappa2 = self.kappa * self.kappa;
        let lambda = mode.wavenumber_per_m.powi(2);
        let ratio = (k2 + kappa2) / (lambda + kappa2);
        -(1.0 + ratio * (1.0 + ratio * (1.0 + ratio))) / (lambda + kappa2)
    }

    /// Layers and modes at points.
    pub(in crate::wave_field) fn at_points(&self, room: &Room, points: &[DVec3]) -> PointLayers {
        let layers = self.basis.count();
        let mut columns = Mat::zeros(ORDERS * layers + self.modes.len(), points.len());
        let fixed: Vec<Vec<[f64; ORDERS]>> =
            points.par_iter().map(|&point| self.at_point(point)).collect();
        let size = room.size();
        let highest = mode_numbers(&self.modes);
        for (column, (point, fixed)) in points.iter().zip(fixed).enumerate() {
            for (layer, orders) in fixed.into_iter().enumerate() {
                for (order, value) in orders.into_iter().enumerate() {
                    columns[(order * layers + layer, column)] = value;
                }
            }
            let factors = [0, 1, 2].map(|axis| -> Vec<f64> {
                (0..=highest[axis]).map(|n| shape(n, size[axis], point[axis])).collect()
            });
            for (row, mode) in self.modes.iter().enumerate() {
                columns[(ORDERS * layers + row, column)] =
                    factors[0][mode.n[0]] * factors[1][mode.n[1]] * factors[2][mode.n[2]];
            }
        }
        PointLayers(columns)
    }

    /// Green's function of each order between every layer and a point.
    fn at_point(&self, point: DVec3) -> Vec<[f64; ORDERS]> {
        let mut sums = vec![[0.0; ORDERS]; self.basis.count()];
        let images: Vec<DVec3> = self.images.iter().map(|image| image.of(point)).collect();
        for face in &self.basis.faces {
            let Some(reach_m) =
                face.nodes.iter().map(|node| node.distance(face.nodes[0])).reduce(f64::max)
            else {
                continue;
            };
            // The image of the point is as far from the face as the point from that of the face.
            let is_near = |there: &&DVec3| {
                self.kappa * (there.distance(face.nodes[0]) - reach_m) < FARTHEST_NEPERS
            };
            let near: Vec<DVec3> = images.iter().filter(is_near).copied().collect();
            if near.is_empty() {
                continue;
            }
            let at_nodes = dispatch_simd(FaceSums { face, kappa: self.kappa, images: &near });
            for (index, at_node) in at_nodes.iter().enumerate() {
                for (layers, kernel) in [(&face.single, at_node[0]), (&face.double, at_node[1])] {
                    for (column, &layer) in layers.layers.iter().enumerate() {
                        let value = layers.values[(index, column)];
                        for (sum, kernel) in sums[layer].iter_mut().zip(kernel) {
                            *sum += value * kernel;
                        }
                    }
                }
            }
        }
        sums
    }
}

/// Points as the layers see them, a column for each: the Green's function of each order between the point and every
/// layer, then the shapes of the modes.
#[derive(Debug, Clone)]
pub(in crate::wave_field) struct PointLayers(pub(super) Mat<f64>);

/// Highest mode numbers along the three axes.
fn mode_numbers(modes: &[Mode]) -> [usize; 3] {
    [0, 1, 2].map(|axis| modes.iter().map(|mode| mode.n[axis]).max().unwrap_or(0))
}

impl Image {
    fn of(&self, point: DVec3) -> DVec3 {
        self.sign * point + self.offset
    }
}

/// Images of a room of this size that may come nearer to a point in it than some distance in metres.
fn images(size: DVec3, farthest_m: f64) -> Vec<Image> {
    // Along one axis: sign, offset and least distance.
    let along = |length: f64| {
        let shifts = [-2.0, 0.0, 2.0].map(|n| (1.0, n * length, f64::abs(n) * length / 2.0));
        let mirrors = [(0.0, 0.0), (2.0, 0.0), (-2.0, 2.0), (4.0, 2.0)];
        let mirrors = mirrors.map(|(n, least)| (-1.0, n * length, least * length));
        shifts.into_iter().chain(mirrors).collect::<Vec<(f64, f64, f64)>>()
    };
    let [x, y, z] = size.to_array().map(along);
    let mut images = Vec::new();
    for (sign_x, offset_x, least_x) in &x {
        for (sign_y, offset_y, least_y) in &y {
            for (sign_z, offset_z, least_z) in &z {
                if DVec3::new(*least_x, *least_y, *least_z).length() < farthest_m {
                    images.push(Image {
                        sign: DVec3::new(*sign_x, *sign_y, *sign_z),
                        offset: DVec3::new(*offset_x, *offset_y, *offset_z),
                    });
                }
            }
        }
    }
    images
}

/// Green's function of each order between all pairs of layers.
fn between(basis: &LayerBasis, kappa: f64, images: &[Image]) -> [Mat<f64>; ORDERS] {
    let faces = &basis.faces;
    let pairs: Vec<(usize, usize)> =
        (0..faces.len()).flat_map(|a| (0..faces.len()).map(move |b| (a, b))).collect();
    let blocks: Vec<Vec<LayerBlock>> = pairs
        .par_iter()
        .map(|&(a, b)| FacePair { test: &faces[a], source: &faces[b] }.blocks(kappa, images))
        .collect();
    let count = basis.count();
    let mut sums: [Mat<f64>; ORDERS] = std::array::from_fn(|_| Mat::zeros(count, count));
    for block in blocks.iter().flatten() {
        let LayerBlock { order, rows, columns, values } = block;
        for (j, &column) in columns.iter().enumerate() {
            for (i, &row) in rows.iter().enumerate() {
                // One half of each pair from either side.
                let half = 0.5 * values[(i, j)];
                sums[*order][(row, column)] += half;
                sums[*order][(column, row)] += half;
            }
        }
    }
    sums
}

/// Values between some layers of two faces.
struct LayerBlock<'a> {
    order: usize,
    rows: &'a [usize],
    columns: &'a [usize],
    values: Mat<f64>,
}

struct FacePair<'a> {
    test: &'a LayeredFace,
    source: &'a LayeredFace,
}

/// Kernels between the nodes of two faces, for one order, summed over the images.
struct Kernels {
    single: Mat<f64>,
    /// Derivative along the normal of the source.
    double: Mat<f64>,
    /// `n·n′·∇·∇′g`.
    normal: Mat<f64>,
    /// g times the image's sign of each component of the curl.
    curls: [Mat<f64>; 3],
}

impl<'a> FacePair<'a> {
    fn blocks(&self, kappa: f64, images: &[Image]) -> Vec<LayerBlock<'a>> {
        let kernels = self.kernels(kappa, images);
        let (test, source) = (self.test, self.source);
        let mut blocks = Vec::new();
        for (order, kernels) in kernels.into_iter().enumerate() {
            let mut push = |rows: &'a FaceLayers, columns: &'a FaceLayers, values: Mat<f64>| {
                blocks.push(LayerBlock {
                    order,
                    rows: &rows.layers,
                    columns: &columns.layers,
                    values,
                });
            };
            let single = sandwich(&test.single.values, &kernels.single, &source.single.values);
            push(&test.single, &source.single, single);
            // Both triangles of the mixed part are filled from this one.
            let mixed = sandwich(&test.single.values, &kernels.double, &source.double.values);
            push(&test.single, &source.double, mixed * faer::Scale(2.0));
            let mut double = sandwich(&test.double.values, &kernels.normal, &source.double.values);
            for axis in 0..3 {
                let curl = &kernels.curls[axis];
                double -= sandwich(&test.double.curls[axis], curl, &source.double.curls[axis]);
            }
            push(&test.double, &source.double, double);
        }
        blocks
    }

    fn kernels(&self, kappa: f64, images: &[Image]) -> Vec<Kernels> {
        let (test, source) = (self.test, self.source);
        let (rows, columns) = (test.nodes.len(), source.nodes.len());
        let zeros = || Mat::zeros(rows, columns);
        let mut kernels: Vec<Kernels> = (0..ORDERS)
            .map(|_| Kernels {
                single: zeros(),
                double: zeros(),
                normal: zeros(),
                curls: [zeros(), zeros(), zeros()],
            })
            .collect();
        let kappa2 = kappa * kappa;
        let signs: Vec<(f64, DVec3)> = images
            .iter()
            .map(|image| {
                let determinant = image.sign.x * image.sign.y * image.sign.z;
                (test.normal.dot(image.sign * source.normal), determinant * image.sign)
            })
            .collect();
        for (column, (&node, cell)) in source.nodes.iter().zip(&source.cells).enumerate() {
            let near_m = source.near_m[column];
            for (row, &point) in test.nodes.iter().enumerate() {
                let mut sums = [[0.0; 6]; ORDERS];
                for (image, (cosine, curl)) in images.iter().zip(&signs) {
                    // From the image of the cell to the point, seen in the mirror.
                    let there = image.inverse_of(point);
                    if FARTHEST_NEPERS < kappa * there.distance(node) {
                        continue;
                    }
                    let [value, along] =
                        from_cell(kappa, cell, [node, there], source.normal, near_m);
                    let mut before = 0.0;
                    for (order, sum) in sums.iter_mut().enumerate() {
                        let here = value[order];
                        sum[0] += here;
                        sum[1] += along[order];
                        sum[2] += cosine * (before - kappa2 * here);
                        for axis in 0..3 {
                            sum[3 + axis] += curl[axis] * here;
                        }
                        before = here;
                    }
                }
                for (kernel, sum) in kernels.iter_mut().zip(sums) {
                    kernel.single[(row, column)] = sum[0];
                    kernel.double[(row, column)] = sum[1];
                    kernel.normal[(row, column)] = sum[2];
                    for axis in 0..3 {
                        kernel.curls[axis][(row, column)] = sum[3 + axis];
                    }
                }
            }
        }
        kernels
    }
}

impl Image {
    /// The point whose image a point is.
    fn inverse_of(&self, point: DVec3) -> DVec3 {
        self.sign * (point - self.offset)
    }
}

/// Aᵀ·K·B.
fn sandwich(a: &Mat<f64>, kernel: &Mat<f64>, b: &Mat<f64>) -> Mat<f64> {
    product(a.transpose(), product(kernel.as_ref(), b.as_ref()).as_ref())
}

pub(super) fn product(a: MatRef<'_, f64>, b: MatRef<'_, f64>) -> Mat<f64> {
    let mut into = Mat::zeros(a.nrows(), b.ncols());
    matmul(into.as_mut(), Accum::Replace, a, b, 1.0, Par::Seq);
    into
}

/// Integral of each layer over each mode: of its shape for a single layer, of the derivative along the normal for a
/// double one.
fn on_modes(room: &Room, basis: &LayerBasis, modes: &[Mode]) -> Mat<f64> {
    let size = room.size();
    let highest = |axis: usize| modes.iter().map(|mode| mode.n[axis]).max().unwrap_or(0);
    let mut sums = Mat::zeros(basis.count(), modes.len());
    for face in &basis.faces {
        let nodes = face.nodes.len();
        let mut shape = Mat::zeros(nodes, modes.len());
        let mut slope = Mat::zeros(nodes, modes.len());
        for (node, point) in face.nodes.iter().enumerate() {
            let factors = [0, 1, 2].map(|axis| {
                let of = |n: usize| {
                    let k = PI * n as f64 / size[axis];
                    let (sin, cos) = (k * point[axis]).sin_cos();
                    [norm(n, size[axis]) * cos, -k * norm(n, size[axis]) * sin]
                };
                (0..=highest(axis)).map(of).collect::<Vec<[f64; 2]>>()
            });
            for (index, mode) in modes.iter().enumerate() {
                let [x, y, z] = [0, 1, 2].map(|axis| factors[axis][mode.n[axis]]);
                shape[(node, index)] = x[0] * y[0] * z[0];
                let gradient =
                    DVec3::new(x[1] * y[0] * z[0], x[0] * y[1] * z[0], x[0] * y[0] * z[1]);
                slope[(node, index)] = face.normal.dot(gradient);
            }
        }
        for (layers, at_nodes) in [(&face.single, &shape), (&face.double, &slope)] {
            let of_face = product(layers.values.transpose(), at_nodes.as_ref());
            for (row, &layer) in layers.layers.iter().enumerate() {
                for mode in 0..modes.len() {
                    sums[(layer, mode)] += of_face[(row, mode)];
                }
            }
        }
    }
    sums
}
