//! Remainder of the modal sum of the rigid room's Green's function: the near field of source and
//! surfaces, which the modes beyond the truncation add.
//!
//! Along one axis the sum over all modes has a closed form (see `axial_greens`); less its explicit
//! terms it is the remainder. The modes of the remainder lie far above the frequency, where damping
//! hardly matters, so they are taken without loss, and their sum is a smooth function of k².

use crate::numerics::exponential::exp_of_negatives;
use crate::numerics::simd_dispatch::{Kernel, dispatch_simd};
use crate::scene::Room;
use crate::wave_field::axial_greens::between;
use crate::wave_field::chebyshev_range::ChebyshevRange;
use crate::wave_field::modes::{Mode, shape};
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::PI;

/// Exponent of e by which the terms of the sums across the axis have decayed where they end.
const TRUNCATION_NEPERS: f64 = 16.0;
/// Least distance of source and receiver along the axis of the closed form, metres: with none, the
/// sums across the axis would not converge.
const MIN_DISTANCE_M: f64 = 0.15;
/// Lines of receivers that one task takes at least.
const LINES_AT_A_TIME: usize = 4;
/// Number of Chebyshev nodes in k².
pub(super) const NODES: usize = 6;
/// Remainder for one source and one receiver at the nodes of a range of k², 1/m.
#[derive(Debug, Clone)]
pub(super) struct ModalRemainder([f64; NODES]);

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
    /// Remainders between a source and each of some receivers, at the nodes of a range of k². The closed form is
    /// along the axis on which the two are farthest apart, where the sums across it converge fastest. Receivers in a
    /// line across that axis share the inner of the two sums.
    pub(super) fn between(
        room: &Room,
        explicit: &ExplicitModes,
        source: DVec3,
        receivers: &[DVec3],
        range: ChebyshevRange,
    ) -> Vec<Self> {
        if let [receiver] = receivers {
            let axis = farthest_axis(source, *receiver);
            let axes = [axis, other_axes(axis)[0]];
            return Self::on_line(room, explicit, source, receivers, axes, range);
        }
        let free = axes_by_variety(receivers);
        let mut lines: BTreeMap<(usize, usize, u64, u64), Vec<usize>> = BTreeMap::new();
        for (index, receiver) in receivers.iter().enumerate() {
            let axis = farthest_axis(source, *receiver);
            let along_line = if free[0] == axis { free[1] } else { free[0] };
            let fixed = 3 - axis - along_line;
            let key = (axis, along_line, receiver[axis].to_bits(), receiver[fixed].to_bits());
            lines.entry(key).or_default().push(index);
        }
        let lines: Vec<((usize, usize), Vec<usize>)> =
            lines.into_iter().map(|((axis, line, ..), members)| ((axis, line), members)).collect();
        let of_line =
            |((axis, line), members): &((usize, usize), Vec<usize>)| -> Vec<(usize, Self)> {
                let points: Vec<DVec3> = members.iter().map(|&index| receivers[index]).collect();
                let remainders =
                    Self::on_line(room, explicit, source, &points, [*axis, *line], range);
                members.iter().copied().zip(remainders).collect()
            };
        let mut found: Vec<(usize, Self)> =
            lines.par_iter().with_min_len(LINES_AT_A_TIME).flat_map_iter(of_line).collect();
        found.sort_unstable_by_key(|(index, _)| *index);
        found.into_iter().map(|(_, remainder)| remainder).collect()
    }

    /// The same for receivers that differ along one axis alone: `axes` are that of the closed form and that one.
    fn on_line(
        room: &Room,
        explicit: &ExplicitModes,
        source: DVec3,
        receivers: &[DVec3],
        [axis, line]: [usize; 2],
        range: ChebyshevRange,
    ) -> Vec<Self> {
        let size = room.size();
        let fixed = 3 - axis - line;
        let Some(first) = receivers.first() else { return Vec::new() };
        let node_k2 = range.nodes();
        let apart_m = (source[axis] - first[axis]).abs();
        let highest = TRUNCATION_NEPERS / apart_m.max(MIN_DISTANCE_M);
        let products = |axis: usize| shape_products(size[axis], [source[axis], first[axis]]);
        let wavenumber = |n: usize| PI * n as f64 / size[line];
        let modes_on_line = (0..usize::MAX).map(wavenumber).take_while(|k| *k <= highest);
        let on_line: Vec<f64> = modes_on_line.collect();
        let across: Vec<(f64, f64)> = products(fixed).take_while(|(k, _)| *k <= highest).collect();
        let pair = AxialPair {
            length_m: size[axis],
            nearer_m: source[axis].min(first[axis]),
            farther_m: source[axis].max(first[axis]),
            along: products(axis).take(explicit.most_terms(axis)).collect(),
        };
        let sums = dispatch_simd(SumAcross {
            pair: &pair,
            explicit: &explicit.0[axis],
            line_is_first: line < fixed,
            on_line: &on_line,
            across: &across,
            node_k2,
            highest,
        });
        let at = |receiver: &DVec3| {
            let shapes = shape_products(size[line], [source[line], receiver[line]]);
            let mut values = [0.0; NODES];
            for ((_, product), sum) in shapes.zip(&sums) {
                for (value, sum) in values.iter_mut().zip(sum) {
                    *value += product * sum;
                }
            }
            Self(values.map(|sum| 4.0 * PI * sum))
        };
        receivers.iter().map(at).collect()
    }

    /// Value at the k² of some weights of the nodes, 1/m.
    pub(super) fn at(&self, weights: &[Complex64; NODES]) -> Complex64 {
        weights.iter().zip(self.0).map(|(weight, value)| weight * value).sum()
    }
}

/// Wavenumber in rad/m of every mode of an axis, and the product of its shapes at two points, 1/m.
fn shape_products(length_m: f64, points_m: [f64; 2]) -> impl Iterator<Item = (f64, f64)> {
    (0..).map(move |n| {
        let [at_source, at_receiver] = points_m.map(|x_m| shape(n, length_m, x_m));
        (PI * n as f64 / length_m, at_source * at_receiver)
    })
}

/// The axis along which two points are farthest apart.
fn farthest_axis(one: DVec3, other: DVec3) -> usize {
    let apart = (one - other).abs();
    (0..3).fold(0, |best, axis| if apart[best] < apart[axis] { axis } else { best })
}

/// The axes by the number of different coordinates of some points along them, most first.
fn axes_by_variety(points: &[DVec3]) -> [usize; 3] {
    let variety = [0, 1, 2].map(|axis| {
        let all: BTreeSet<u64> = points.iter().map(|point| point[axis].to_bits()).collect();
        all.len()
    });
    let mut axes = [0, 1, 2];
    axes.sort_by_key(|&axis| Reverse(variety[axis]));
    axes
}

/// Sums over the modes across the axis of the closed form, at every node: one for each mode along a line of receivers,
/// over all across both.
struct SumAcross<'a> {
    pair: &'a AxialPair,
    /// Number of explicit terms along the axis, as in [`ExplicitModes`].
    explicit: &'a [Vec<usize>],
    /// Whether the line is along the first of the other axes.
    line_is_first: bool,
    /// Wavenumbers along the line.
    on_line: &'a [f64],
    /// Wavenumbers and products of shapes across it.
    across: &'a [(f64, f64)],
    node_k2: [f64; NODES],
    /// Wavenumber across at which the sum ends, rad/m.
    highest: f64,
}

impl Kernel for SumAcross<'_> {
    type Output = Vec<[f64; NODES]>;

    #[inline(always)]
    fn run(self) -> Vec<[f64; NODES]> {
        let sum_on_line = |(n, kn): (usize, &f64)| {
            let row = self.explicit.get(n).map_or(&[][..], Vec::as_slice);
            let mut values = [0.0; NODES];
            for (m, (km, product)) in self.across.iter().enumerate() {
                let across_k2 = kn * kn + km * km;
                if self.highest * self.highest < across_k2 {
                    break;
                }
                let terms = if self.line_is_first {
                    row.get(m)
                } else {
                    self.explicit.get(m).and_then(|row| row.get(n))
                };
                let gamma2 = self.node_k2.map(|k2| across_k2 - k2);
                let remainders = self.pair.remainders(gamma2, terms.copied().unwrap_or(0));
                for (value, remainder) in values.iter_mut().zip(remainders) {
                    *value += product * remainder;
                }
            }
            values
        };
        self.on_line.iter().enumerate().map(sum_on_line).collect()
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
