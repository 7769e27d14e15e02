//! Remainder of the modal sum of the rigid room's Green's function: the near field of source and
//! surfaces, which the modes beyond the truncation add.
//!
//! Along one axis the sum over all modes has a closed form (see `axial_greens`); less its explicit
//! terms it is the remainder. The modes of the remainder lie far above the frequency, where damping
//! hardly matters, so they are taken without loss, and their sum is a smooth function of k².

use super::axial_greens::between;
use crate::scene::Room;
use crate::wave_field::modes::{Mode, shape};
use glam::DVec3;
use num_complex::Complex64;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// Exponent of e by which the terms of the sums across the axis have decayed where they end.
const TRUNCATION_NEPERS: f64 = 16.0;
/// Least distance of source and receiver along the axis of the closed form, metres: with none, the
/// sums across the axis would not converge.
const MIN_DISTANCE_M: f64 = 0.15;
/// Number of Chebyshev nodes in k².
const NODES: usize = 6;

/// Remainder for one source and one receiver, over a range of k²: a polynomial through its Chebyshev
/// nodes.
#[derive(Debug, Clone)]
pub(super) struct ModalRemainder {
    low: f64,
    high: f64,
    /// Values at the nodes, 1/m.
    values: [f64; NODES],
}

/// Explicit modes, arranged for the sum along each axis: number of explicit terms along it for each
/// pair of mode numbers across it.
#[derive(Debug)]
pub(super) struct ExplicitModes([BTreeMap<[usize; 2], usize>; 3]);

impl ExplicitModes {
    /// From all modes up to some wavenumber.
    pub(super) fn new(modes: &[Mode]) -> Self {
        let along = |axis: usize| {
            let mut counts = BTreeMap::new();
            for mode in modes {
                let count = counts.entry(other_axes(axis).map(|other| mode.n[other])).or_insert(0);
                *count = (*count).max(mode.n[axis] + 1);
            }
            counts
        };
        Self([0, 1, 2].map(along))
    }

    /// Number of explicit terms along an axis.
    fn terms(&self, axis: usize, across: [usize; 2]) -> usize {
        self.0[axis].get(&across).copied().unwrap_or(0)
    }
}

fn other_axes(axis: usize) -> [usize; 2] {
    [[1, 2], [0, 2], [0, 1]][axis]
}

impl ModalRemainder {
    /// Remainder between two points, for k² from `low` to `high`, rad²/m². The closed form is along the
    /// axis on which they are farthest apart, where the sums across it converge fastest.
    pub(super) fn new(
        room: &Room,
        explicit: &ExplicitModes,
        [source, receiver]: [DVec3; 2],
        [low, high]: [f64; 2],
    ) -> Self {
        let size = room.size();
        let apart = (source - receiver).abs();
        let axis = (0..3).fold(0, |best, axis| if apart[best] < apart[axis] { axis } else { best });
        let [b, c] = other_axes(axis);
        let pair = AxialPair {
            length_m: size[axis],
            nearer_m: source[axis].min(receiver[axis]),
            farther_m: source[axis].max(receiver[axis]),
        };
        let node_k2 = std::array::from_fn::<f64, NODES, _>(|i| {
            0.5 * (low + high) + 0.5 * (high - low) * chebyshev_node(i)
        });
        let highest = TRUNCATION_NEPERS / apart[axis].max(MIN_DISTANCE_M);
        let product = |axis: usize, n: usize| {
            [source, receiver].map(|point| shape(n, size[axis], point[axis]))
        };
        let mut values = [0.0; NODES];
        for n in 0.. {
            let kn = PI * n as f64 / size[b];
            if highest < kn {
                break;
            }
            let [at_source, at_receiver] = product(b, n);
            let shape_b = at_source * at_receiver;
            for m in 0.. {
                let km = PI * m as f64 / size[c];
                if highest < kn.hypot(km) {
                    break;
                }
                let [at_source, at_receiver] = product(c, m);
                let shape_bc = shape_b * at_source * at_receiver;
                let terms = explicit.terms(axis, [n, m]);
                for (value, k2) in values.iter_mut().zip(node_k2) {
                    *value += shape_bc * pair.remainder(kn * kn + km * km - k2, terms);
                }
            }
        }
        Self { low, high, values: values.map(|sum| 4.0 * PI * sum) }
    }

    /// Value at a k² within the range, or a little beside it with loss, 1/m: barycentric interpolation
    /// with the weights of Chebyshev nodes of the first kind.
    pub(super) fn at(&self, k2: Complex64) -> Complex64 {
        let x = (2.0 * k2 - self.low - self.high) / (self.high - self.low);
        let (mut numerator, mut denominator) = (Complex64::ZERO, Complex64::ZERO);
        for (i, value) in self.values.iter().enumerate() {
            let distance = x - chebyshev_node(i);
            if distance.norm() < 1e-14 {
                return (*value).into();
            }
            let angle = PI * (2 * i + 1) as f64 / (2 * NODES) as f64;
            let sign = if i % 2 == 0 { 1.0 } else { -1.0 };
            let weight = sign * angle.sin() / distance;
            numerator += weight * value;
            denominator += weight;
        }
        numerator / denominator
    }
}

/// Chebyshev node of the first kind on [−1, 1].
fn chebyshev_node(i: usize) -> f64 {
    (PI * (2 * i + 1) as f64 / (2 * NODES) as f64).cos()
}

/// Coordinates of source and receiver along the axis of the closed form, the smaller one first.
#[expect(clippy::struct_field_names, reason = "units live in names")]
struct AxialPair {
    length_m: f64,
    nearer_m: f64,
    farther_m: f64,
}

impl AxialPair {
    /// One-dimensional Green's function less the first so many terms of its modal sum, for γ² in
    /// rad²/m².
    fn remainder(&self, gamma2: f64, terms: usize) -> f64 {
        let Self { length_m, nearer_m, farther_m } = *self;
        let coordinates = [nearer_m, farther_m];
        let explicit = |n: usize| {
            let k = PI * n as f64 / length_m;
            (k * k, shape(n, length_m, nearer_m) * shape(n, length_m, farther_m))
        };
        if 1e-6 < gamma2 {
            let explicit = (0..terms).map(explicit).map(|(k2, shapes)| shapes / (k2 + gamma2));
            return between(gamma2.sqrt(), length_m, coordinates) - explicit.sum::<f64>();
        }
        // A little damping keeps the closed form and the terms taken off it finite.
        let gamma = Complex64::new(gamma2, 1e-7 * gamma2.abs().max(1e-6)).sqrt();
        let explicit = (0..terms).map(explicit).map(|(k2, shapes)| shapes / (k2 + gamma * gamma));
        (between(gamma, length_m, coordinates) - explicit.sum::<Complex64>()).re
    }
}
