//! What modes beyond those that are solved for add: the near field of speaker and boundaries.
//!
//! Along one axis the sum over all modes of a rigid room has a closed form,
//! `Σ X_n(x)X_n(x′)/(k_n² + g²) = cosh(g·x₍)·cosh(g(L − x₎))/(g·sinh gL)` with x₍ and x₎ the smaller
//! and the larger of the two; what is taken of it is all but the modes solved for. They are far above the
//! frequency, where damping hardly matters, so they are taken as those of a rigid room.

use crate::scene::Room;
use crate::wave_field::modes::{Mode, shape};
use glam::DVec3;
use num_complex::Complex64;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// Sums end where a term has fallen by e to this.
const FALLEN: f64 = 16.0;
/// Closer than this along every axis, source and receiver are taken as this far apart, metres: the
/// sum would not end.
const CLOSEST_M: f64 = 0.15;
/// Frequencies at which the rest is worked out; it is smooth between them.
const NODES: usize = 6;

/// The rest between one source and one receiver, over a range of k².
#[derive(Debug, Clone)]
pub(super) struct ModalRemainder {
    low: f64,
    high: f64,
    /// At the Chebyshev points of the range.
    values: [f64; NODES],
}

/// The modes solved for, sorted for the sum along each axis: for each pair of counts across it, how
/// many counts along it are among them.
#[derive(Debug)]
pub(super) struct ExplicitModes([BTreeMap<[usize; 2], usize>; 3]);

impl ExplicitModes {
    /// Modes must be all up to a wavenumber.
    pub(super) fn new(modes: &[Mode]) -> Self {
        let along = |axis: usize| {
            let mut counts = BTreeMap::new();
            for mode in modes {
                let count = counts.entry(across(axis).map(|other| mode.n[other])).or_insert(0);
                *count = (*count).max(mode.n[axis] + 1);
            }
            counts
        };
        Self([0, 1, 2].map(along))
    }
}

fn across(axis: usize) -> [usize; 2] {
    [[1, 2], [0, 2], [0, 1]][axis]
}

impl ModalRemainder {
    /// Between two points, for k² from `low` to `high`, radians a metre squared.
    pub(super) fn new(
        room: &Room,
        solved: &ExplicitModes,
        [source, receiver]: [DVec3; 2],
        [low, high]: [f64; 2],
    ) -> Self {
        let apart = (source - receiver).abs();
        let axis = (0..3).fold(0, |best, axis| if apart[best] < apart[axis] { axis } else { best });
        let mut values = [0.0; NODES];
        let nodes = std::array::from_fn::<f64, NODES, _>(|i| {
            0.5 * (low + high) + 0.5 * (high - low) * node(i)
        });
        let line = AxialSegment {
            length_m: room.size()[axis],
            nearer_m: source[axis].min(receiver[axis]),
            farther_m: source[axis].max(receiver[axis]),
        };
        let [b, c] = across(axis);
        let (size, reach) = (room.size(), FALLEN / apart[axis].max(CLOSEST_M));
        let solved = &solved.0[axis];
        for n in 0.. {
            let kn = PI * n as f64 / size[b];
            if reach < kn {
                break;
            }
            let along_b = shape(n, size[b], source[b]) * shape(n, size[b], receiver[b]);
            for m in 0.. {
                let km = PI * m as f64 / size[c];
                if reach < kn.hypot(km) {
                    break;
                }
                let along = along_b * shape(m, size[c], source[c]) * shape(m, size[c], receiver[c]);
                let count = solved.get(&[n, m]).copied().unwrap_or(0);
                for (value, k2) in values.iter_mut().zip(nodes) {
                    *value += along * line.rest(kn * kn + km * km - k2, count);
                }
            }
        }
        Self { low, high, values: values.map(|sum| 4.0 * PI * sum) }
    }

    /// At a k² within the range, or a little beside it with loss: the polynomial through its Chebyshev
    /// points.
    pub(super) fn at(&self, k2: Complex64) -> Complex64 {
        let x = (2.0 * k2 - self.low - self.high) / (self.high - self.low);
        let (mut above, mut below) = (Complex64::ZERO, Complex64::ZERO);
        for (i, value) in self.values.iter().enumerate() {
            let distance = x - node(i);
            if distance.norm() < 1e-14 {
                return (*value).into();
            }
            // Barycentric weights of Chebyshev points of the first kind.
            let turn = PI * (2 * i + 1) as f64 / (2 * NODES) as f64;
            let sign = if i % 2 == 0 { 1.0 } else { -1.0 };
            let weight = sign * turn.sin() / distance;
            above += weight * value;
            below += weight;
        }
        above / below
    }
}

fn node(i: usize) -> f64 {
    (PI * (2 * i + 1) as f64 / (2 * NODES) as f64).cos()
}

/// The axis of the closed form.
#[expect(clippy::struct_field_names, reason = "units live in names")]
struct AxialSegment {
    length_m: f64,
    nearer_m: f64,
    farther_m: f64,
}

impl AxialSegment {
    /// The closed form at g² less the first so many of its terms.
    fn rest(&self, g2: f64, count: usize) -> f64 {
        let Self { length_m, nearer_m, farther_m } = *self;
        // A trace of damping keeps the closed form and the terms taken off it from both being infinite.
        let g = Complex64::new(g2, 1e-7 * g2.abs().max(1e-6)).sqrt();
        let falls = |metres: f64| (-g * metres).exp();
        let sum = farther_m + nearer_m;
        let apart = farther_m - nearer_m;
        let closed = (falls(apart)
            + falls(sum)
            + falls(2.0 * length_m - sum)
            + falls(2.0 * length_m - apart))
            / (2.0 * g * (1.0 - falls(2.0 * length_m)));
        let taken: Complex64 = (0..count)
            .map(|n| {
                let k = PI * n as f64 / length_m;
                shape(n, length_m, nearer_m) * shape(n, length_m, farther_m) / (k * k + g * g)
            })
            .sum();
        (closed - taken).re
    }
}
