//! Remainder of the modal sum of the rigid room's Green's function: the near field of source and
//! surfaces, which the modes beyond the truncation add.
//!
//! Along one axis the sum over all modes has a closed form (see `axial_greens`); less its explicit
//! terms it is the remainder. The modes of the remainder lie far above the frequency, where damping
//! hardly matters, so they are taken without loss, and their sum is a smooth function of k².

use super::axial_greens::between;
use crate::numerics::exponential::exp_of_negatives;
use crate::numerics::simd_dispatch::{Kernel, dispatch_simd};
use crate::scene::Room;
use crate::wave_field::modes::{Mode, shape};
use glam::DVec3;
use num_complex::Complex64;
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
/// pair of mode numbers across it, a row for each first one; none beyond the ends of rows.
#[derive(Debug)]
pub(super) struct ExplicitModes([Vec<Vec<usize>>; 3]);

impl ExplicitModes {
    /// From all modes up to some wavenumber.
    pub(super) fn new(modes: &[Mode]) -> Self {
        let along = |axis: usize| {
            let mut rows: Vec<Vec<usize>> = Vec::new();
            for mode in modes {
                let [n, m] = other_axes(axis).map(|other| mode.n[other]);
                if rows.len() <= n {
                    rows.resize(n + 1, Vec::new());
                }
                let row = &mut rows[n];
                if row.len() <= m {
                    row.resize(m + 1, 0);
                }
                row[m] = row[m].max(mode.n[axis] + 1);
            }
            rows
        };
        Self([0, 1, 2].map(along))
    }

    /// Largest number of explicit terms along an axis.
    fn most_terms(&self, axis: usize) -> usize {
        self.0[axis].iter().flatten().copied().max().unwrap_or(0)
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
        let node_k2 = std::array::from_fn::<f64, NODES, _>(|i| {
            0.5 * (low + high) + 0.5 * (high - low) * chebyshev_node(i)
        });
        let highest = TRUNCATION_NEPERS / apart[axis].max(MIN_DISTANCE_M);
        let products = |axis: usize| shape_products(size[axis], [source[axis], receiver[axis]]);
        let across_b: Vec<(f64, f64)> = products(b).take_while(|(kn, _)| *kn <= highest).collect();
        let across_c: Vec<(f64, f64)> = products(c).take_while(|(km, _)| *km <= highest).collect();
        let pair = AxialPair {
            length_m: size[axis],
            nearer_m: source[axis].min(receiver[axis]),
            farther_m: source[axis].max(receiver[axis]),
            along: products(axis).take(explicit.most_terms(axis)).collect(),
        };
        let values = dispatch_simd(SumAcross {
            pair: &pair,
            explicit: &explicit.0[axis],
            across: [&across_b, &across_c],
            node_k2,
            highest,
        });
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

/// Wavenumber in rad/m of every mode of an axis, and the product of its shapes at two points, 1/m.
fn shape_products(length_m: f64, points_m: [f64; 2]) -> impl Iterator<Item = (f64, f64)> {
    (0..).map(move |n| {
        let [at_source, at_receiver] = points_m.map(|x_m| shape(n, length_m, x_m));
        (PI * n as f64 / length_m, at_source * at_receiver)
    })
}

/// Sum over the modes across the axis of the closed form, at every node.
struct SumAcross<'a> {
    pair: &'a AxialPair,
    /// Number of explicit terms along the axis, as in [`ExplicitModes`].
    explicit: &'a [Vec<usize>],
    /// Wavenumbers and products of shapes along both other axes.
    across: [&'a [(f64, f64)]; 2],
    node_k2: [f64; NODES],
    /// Wavenumber across at which the sum ends, rad/m.
    highest: f64,
}

impl Kernel for SumAcross<'_> {
    type Output = [f64; NODES];

    #[inline(always)]
    fn run(self) -> [f64; NODES] {
        let mut values = [0.0; NODES];
        for (n, (kn, product_b)) in self.across[0].iter().enumerate() {
            let explicit = self.explicit.get(n).map_or(&[][..], Vec::as_slice);
            for (m, (km, product_c)) in self.across[1].iter().enumerate() {
                let across_k2 = kn * kn + km * km;
                if self.highest * self.highest < across_k2 {
                    break;
                }
                let terms = explicit.get(m).copied().unwrap_or(0);
                let gamma2 = self.node_k2.map(|k2| across_k2 - k2);
                let remainders = self.pair.remainders(gamma2, terms);
                for (value, remainder) in values.iter_mut().zip(remainders) {
                    *value += product_b * product_c * remainder;
                }
            }
        }
        values
    }
}

/// Source and receiver along the axis of the closed form.
struct AxialPair {
    length_m: f64,
    /// The smaller of the two coordinates.
    nearer_m: f64,
    /// The larger of the two.
    farther_m: f64,
    /// Wavenumbers and products of shapes of the explicit modes along the axis.
    along: Vec<(f64, f64)>,
}

impl AxialPair {
    /// One-dimensional Green's function less the first so many terms of its modal sum, for γ² in
    /// rad²/m² at every node.
    #[inline(always)]
    fn remainders(&self, gamma2: [f64; NODES], terms: usize) -> [f64; NODES] {
        if gamma2.iter().any(|&gamma2| gamma2 <= 1e-6) {
            return gamma2.map(|gamma2| self.propagating_remainder(gamma2, terms));
        }
        // Beyond the cut-off everything is real.
        let mut remainders = self.evanescent_greens(gamma2.map(f64::sqrt));
        for &(k, product) in &self.along[..terms] {
            for (remainder, gamma2) in remainders.iter_mut().zip(gamma2) {
                *remainder -= product / (gamma2 + k * k);
            }
        }
        remainders
    }

    /// [`between`] for real γ in rad/m, factored: direct, over the nearer end, over the farther end and
    /// over both.
    #[inline(always)]
    fn evanescent_greens(&self, gamma: [f64; NODES]) -> [f64; NODES] {
        let Self { length_m, nearer_m, farther_m, .. } = *self;
        let decay = |metres: f64| exp_of_negatives(gamma.map(|gamma| gamma * -metres));
        let direct = decay(farther_m - nearer_m);
        let near_end = decay(2.0 * nearer_m);
        let far_end = decay(2.0 * (length_m - farther_m));
        std::array::from_fn(|node| {
            let [direct, near_end, far_end] = [direct[node], near_end[node], far_end[node]];
            let round_trip = direct * direct * near_end * far_end;
            direct * (1.0 + near_end) * (1.0 + far_end) / (2.0 * gamma[node] * (1.0 - round_trip))
        })
    }

    /// The same for one γ², where some node lies below the cut-off.
    fn propagating_remainder(&self, gamma2: f64, terms: usize) -> f64 {
        // A little damping keeps the closed form and the terms taken off it finite.
        let gamma = Complex64::new(gamma2, 1e-7 * gamma2.abs().max(1e-6)).sqrt();
        let explicit =
            self.along[..terms].iter().map(|(k, product)| product / (k * k + gamma * gamma));
        let coordinates = [self.nearer_m, self.farther_m];
        (between(gamma, self.length_m, coordinates) - explicit.sum::<Complex64>()).re
    }
}
