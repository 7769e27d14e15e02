//! Green's function between the layers on bodies, the cosines on the surfaces and points, at one frequency.
//!
//! Between layers, and between layers and surfaces, the explicit modes of a sub-band are summed at every frequency,
//! with loss; the rest is smooth in k² and interpolated.

use super::RoomBodies;
use super::mixing::Mixing;
use super::static_layers::{PointLayers, StaticLayers, product};
use super::surface_remainders::{NODES, surface_remainders};
use super::yukawa::ORDERS;
use crate::scene::Room;
use crate::wave_field::boundary::BasisFunction;
use crate::wave_field::chebyshev_range::ChebyshevRange;
use crate::wave_field::modes::Mode;
use faer::Mat;
use num_complex::Complex64;
use rayon::prelude::*;
use std::sync::Arc;

/// Layers within a sub-band.
#[derive(Debug)]
pub(in crate::wave_field) struct LayerBand {
    pub(in crate::wave_field) layers: Arc<StaticLayers>,
    bodies: RoomBodies,
    range: ChebyshevRange,
    explicit_modes: usize,
    /// Remainder between two layers, at every node.
    between: Vec<Mat<f64>>,
    /// Remainder between layers and the cosines on the surfaces, at every node.
    surfaces: Vec<Mat<f64>>,
}

/// Layers at one frequency. The unknown of a double layer is u, that of a single layer √(jk(β₊ + β₋)/2)·s, by which
/// the system is symmetric.
#[derive(Debug, Clone)]
pub(in crate::wave_field) struct LayerGreens {
    layers: Arc<StaticLayers>,
    /// Green's function between two unknowns less what makes the pressures on the two sides of it.
    pub(in crate::wave_field) system: Mat<Complex64>,
    /// Between an unknown and a cosine on a surface.
    pub(in crate::wave_field) surfaces: Mat<Complex64>,
    /// Integral of each unknown over each explicit mode.
    pub(in crate::wave_field) on_modes: Mat<Complex64>,
    mixing: Vec<Mixing>,
    k2: Complex64,
    /// Weight of every mode at points.
    weights: Vec<Complex64>,
}

impl LayerBand {
    /// For the explicit modes, cosines on the surfaces and range of k² of a sub-band.
    pub(in crate::wave_field) fn new(
        room: &Room,
        bodies: &RoomBodies,
        layers: &Arc<StaticLayers>,
        explicit: &[Mode],
        functions: &[BasisFunction],
        range: ChebyshevRange,
    ) -> Self {
        let explicit_modes = explicit.len();
        let node_k2: [f64; NODES] = range.nodes();
        let kappa2 = layers.kappa * layers.kappa;
        let at_node = |k2: &f64| {
            let weight = |(n, mode): (usize, &Mode)| {
                if n < explicit_modes {
                    layers.weight_less_own(mode, *k2)
                } else {
                    layers.mode_weight(mode, (*k2).into()).re
                }
            };
            let weights: Vec<f64> = layers.modes.iter().enumerate().map(weight).collect();
            let weighted = Mat::from_fn(layers.on_modes.nrows(), weights.len(), |i, n| {
                layers.on_modes[(i, n)] * weights[n]
            });
            let mut sum = product(weighted.as_ref(), layers.on_modes.transpose());
            let mut power = 1.0;
            for part in &layers.between {
                sum += part * faer::Scale(power);
                power *= k2 + kappa2;
            }
            sum
        };
        let between = node_k2.par_iter().map(at_node).collect();
        let surfaces = surface_remainders(room, layers, explicit, functions, &node_k2);
        let layers = Arc::clone(layers);
        Self { layers, bodies: bodies.clone(), range, explicit_modes, between, surfaces }
    }

    /// Number of layers.
    pub(in crate::wave_field) fn count(&self) -> usize {
        self.layers.basis.count()
    }

    /// At a frequency in hertz and its wavenumber with loss, rad/m.
    pub(in crate::wave_field) fn at(
        &self,
        hz: f64,
        k: Complex64,
        explicit: &[Mode],
    ) -> LayerGreens {
        let k2 = k * k;
        let interpolation: [Complex64; NODES] = self.range.weights(k2);
        let bodies = self.bodies.bodies.iter().zip(&self.layers.basis.bodies);
        let mixing: Vec<Mixing> =
            bodies.map(|(body, layered)| Mixing::new(layered, body.admittances(hz), k)).collect();
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
        let interpolated = |nodes: &[Mat<f64>], i: usize, j: usize| -> Complex64 {
            interpolation.iter().zip(nodes).map(|(weight, node)| weight * node[(i, j)]).sum()
        };
        let own = Mat::from_fn(count, count, |i, j| {
            interpolated(&self.between, i, j) + Complex64::new(real[(i, j)], imaginary[(i, j)])
        });
        let functions = self.surfaces.first().map_or(0, Mat::ncols);
        let surfaces = Mat::from_fn(count, functions, |i, j| interpolated(&self.surfaces, i, j));
        let on_modes = Mat::from_fn(count, poles.len(), |i, n| modal[(i, n)].into());
        let mixed = |matrix: Mat<Complex64>| Mixing::apply_to_rows(&mixing, matrix);
        let mut system = mixed(mixed(own).transpose().to_owned());
        for mixing in &mixing {
            mixing.take_products(&self.layers.basis.gram, &mut system);
        }
        let weight = |mode: &Mode| self.layers.mode_weight(mode, k2);
        LayerGreens {
            layers: Arc::clone(&self.layers),
            system,
            surfaces: mixed(surfaces),
            on_modes: mixed(on_modes),
            weights: self.layers.modes.iter().map(weight).collect(),
            mixing,
            k2,
        }
    }
}

impl LayerGreens {
    /// Number of layers.
    pub(in crate::wave_field) fn count(&self) -> usize {
        self.system.nrows()
    }

    /// Green's function between points and the unknowns, point by point.
    pub(in crate::wave_field) fn projections(&self, points: &PointLayers) -> Vec<Vec<Complex64>> {
        let (layers, count) = (&self.layers, self.count());
        let shapes = points.0.get(ORDERS * count.., ..);
        let weighted = |part: fn(&Complex64) -> f64| {
            let scaled = Mat::from_fn(shapes.nrows(), shapes.ncols(), |n, point| {
                shapes[(n, point)] * part(&self.weights[n])
            });
            product(layers.on_modes.as_ref(), scaled.as_ref())
        };
        let (real, imaginary) = (weighted(|weight| weight.re), weighted(|weight| weight.im));
        let powers = self.powers();
        let at = |point: usize| -> Vec<Complex64> {
            let value = |layer: usize| {
                powers.iter().enumerate().fold(
                    Complex64::new(real[(layer, point)], imaginary[(layer, point)]),
                    |sum, (order, power)| sum + power * points.0[(order * count + layer, point)],
                )
            };
            let mut values: Vec<Complex64> = (0..count).map(value).collect();
            for mixing in &self.mixing {
                mixing.apply(&mut values);
            }
            values
        };
        (0..points.0.ncols()).map(at).collect()
    }

    /// What the unknowns of some sources take off the pressure at points: for each source, each point.
    pub(in crate::wave_field) fn taken_off(
        &self,
        unknowns: &[&[Complex64]],
        points: &PointLayers,
    ) -> Vec<Vec<Complex64>> {
        let (count, sources) = (self.count(), unknowns.len());
        // Real and imaginary parts in columns of their own.
        let mut of_layers = Mat::<f64>::zeros(count, 2 * sources);
        for (source, unknowns) in unknowns.iter().enumerate() {
            let mut values = unknowns.to_vec();
            for mixing in &self.mixing {
                mixing.apply_transposed(&mut values);
            }
            for (layer, value) in values.into_iter().enumerate() {
                of_layers[(layer, source)] = value.re;
                of_layers[(layer, sources + source)] = value.im;
            }
        }
        let on_modes = product(self.layers.on_modes.transpose(), of_layers.as_ref());
        let powers = self.powers();
        let strengths = Mat::from_fn(points.0.nrows(), 2 * sources, |row, column| {
            let (source, is_real) = (column % sources, column < sources);
            let (parts, index, factor) = match row.checked_sub(ORDERS * count) {
                Some(mode) => (&on_modes, mode, self.weights[mode]),
                None => (&of_layers, row % count, powers[row / count]),
            };
            let value =
                factor * Complex64::new(parts[(index, source)], parts[(index, sources + source)]);
            if is_real { value.re } else { value.im }
        });
        let sums = product(points.0.transpose(), strengths.as_ref());
        let at = |source: usize| -> Vec<Complex64> {
            let value =
                |point| Complex64::new(sums[(point, source)], sums[(point, sources + source)]);
            (0..points.0.ncols()).map(value).collect()
        };
        (0..sources).map(at).collect()
    }

    /// Factors (k² + κ²)^(m−1) of the orders.
    fn powers(&self) -> [Complex64; ORDERS] {
        let ratio = self.k2 + self.layers.kappa * self.layers.kappa;
        [Complex64::ONE, ratio, ratio * ratio, ratio * ratio * ratio]
    }
}
