//! Functions of one coordinate of a face, with the nodes and cells of their quadrature.
//!
//! The coordinate runs from 0 to 1. At an edge in the open air the difference of the pressures on the two
//! sides of a plate vanishes as the square root of the distance (Meixner's edge condition; from memory), which
//! `sin mθ` over `cos θ` does; elsewhere polynomials serve.

use crate::numerics::quadrature::gauss_legendre;
use std::f64::consts::{FRAC_PI_2, PI};

/// What is at an end of a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// Open air.
    Free,
    /// A surface of the room, or another face of the body.
    Joined,
}

/// Nodes, and the cell around each.
#[derive(Debug)]
pub(super) struct AxisNodes {
    pub(super) at: Vec<f64>,
    /// Ends of the cells, one more than nodes.
    pub(super) cell_ends: Vec<f64>,
}

/// Functions at the nodes.
#[derive(Debug)]
pub(super) struct AxisFunctions {
    /// Weight of the nodes in an integral.
    pub(super) weights: Vec<f64>,
    pub(super) functions: Vec<AxisFunction>,
}

/// One function, times the weights.
#[derive(Debug)]
pub(super) struct AxisFunction {
    pub(super) value: Vec<f64>,
    pub(super) slope: Vec<f64>,
}

/// Angles θ of midpoints where an end is free, by position from 0: the coordinate is (1 − cos θ)/2 between two
/// free ends, and the cosine of θ, counted from the joined end, where one is free.
struct Angles {
    theta: Vec<f64>,
    step: f64,
    /// Whether the coordinate falls as the cosine rises.
    is_mirrored: bool,
}

impl Angles {
    fn of(ends: [End; 2], count: usize) -> Option<Self> {
        let whole = match ends {
            [End::Joined, End::Joined] => return None,
            [End::Free, End::Free] => PI,
            _ => FRAC_PI_2,
        };
        let step = whole / count as f64;
        let theta = (0..count).map(|i| (i as f64 + 0.5) * step).collect();
        Some(Self { theta, step, is_mirrored: ends == [End::Free, End::Joined] })
    }
}

impl AxisNodes {
    pub(super) fn new(ends: [End; 2], count: usize) -> Self {
        let cosines = |whole: f64, length: f64| {
            let edges = (0..=count).map(move |i| (whole * i as f64 / count as f64).cos());
            let nodes = (0..count).map(move |i| (whole * (i as f64 + 0.5) / count as f64).cos());
            [nodes.collect::<Vec<f64>>(), edges.collect()]
                .map(|all: Vec<f64>| all.into_iter().map(|x| (1.0 - x) / length).collect())
        };
        let [at, cell_ends]: [Vec<f64>; 2] = match ends {
            [End::Joined, End::Joined] => {
                let rule = gauss_legendre(count);
                let ends = rule.iter().scan(0.0, |sum, (_, weight)| {
                    *sum += weight;
                    Some(*sum)
                });
                let ends = std::iter::once(0.0).chain(ends).collect();
                [rule.iter().map(|(at, _)| *at).collect(), ends]
            }
            [End::Free, End::Free] => cosines(PI, 2.0),
            [End::Free, End::Joined] => cosines(FRAC_PI_2, 1.0),
            [End::Joined, End::Free] => {
                cosines(FRAC_PI_2, 1.0).map(|all| all.into_iter().rev().map(|x| 1.0 - x).collect())
            }
        };
        Self { at, cell_ends }
    }

    fn cell_lengths(&self) -> Vec<f64> {
        self.cell_ends.windows(2).map(|ends| ends[1] - ends[0]).collect()
    }

    /// Legendre polynomials up to a degree.
    pub(super) fn polynomials(&self, degree: usize) -> AxisFunctions {
        let weights = self.cell_lengths();
        let function = |n: usize| {
            self.weighted(&weights, |x| {
                let [value, slope] = legendre(n, 2.0 * x - 1.0);
                [value, 2.0 * slope]
            })
        };
        let functions = (0..=degree).map(function).collect();
        AxisFunctions { weights, functions }
    }

    /// Lobatto's shape functions up to a degree: the two hats, then polynomials that vanish at both ends
    /// (Szabó and Babuška, Finite Element Analysis; from memory).
    pub(super) fn lobatto(&self, degree: usize) -> AxisFunctions {
        let weights = self.cell_lengths();
        let function = |n: usize| {
            self.weighted(&weights, |x| match n {
                0 => [1.0 - x, -1.0],
                1 => [x, 1.0],
                _ => {
                    let t = 2.0 * x - 1.0;
                    let scale = 1.0 / (2.0 * (2.0 * n as f64 - 1.0)).sqrt();
                    let value = legendre(n, t)[0] - legendre(n - 2, t)[0];
                    let slope = 2.0 * (2.0 * n as f64 - 1.0) * legendre(n - 1, t)[0];
                    [scale * value, scale * slope]
                }
            })
        };
        let functions = (0..=degree).map(function).collect();
        AxisFunctions { weights, functions }
    }

    /// So many functions that vanish at free ends as the square root of the distance.
    pub(super) fn edge_functions(&self, ends: [End; 2], count: usize) -> AxisFunctions {
        let Some(angles) = Angles::of(ends, self.at.len()) else {
            return self.polynomials(count.saturating_sub(1));
        };
        let both = ends == [End::Free, End::Free];
        // Half the length in the cosine's measure.
        let scale = if both { 0.5 } else { 1.0 };
        let place = |values: Vec<f64>| -> Vec<f64> {
            if both || angles.is_mirrored { values } else { values.into_iter().rev().collect() }
        };
        let function = |n: usize| {
            let m = if both { n + 1 } else { 2 * n + 1 } as f64;
            let value = angles
                .theta
                .iter()
                .map(|t| (m * t).sin() * scale * t.sin() * angles.step)
                .collect();
            // The coordinate rises with θ, but for one whose free end is the far one.
            let sense = if both || angles.is_mirrored { 1.0 } else { -1.0 };
            let slope =
                angles.theta.iter().map(|t| sense * m * (m * t).cos() * angles.step).collect();
            AxisFunction { value: place(value), slope: place(slope) }
        };
        let weights = angles.theta.iter().map(|t| scale * t.sin() * angles.step).collect();
        AxisFunctions { weights: place(weights), functions: (0..count).map(function).collect() }
    }

    fn weighted(&self, weights: &[f64], function: impl Fn(f64) -> [f64; 2]) -> AxisFunction {
        let at = |index: usize| {
            self.at
                .iter()
                .zip(weights)
                .map(|(&x, weight)| weight * function(x)[index])
                .collect::<Vec<f64>>()
        };
        AxisFunction { value: at(0), slope: at(1) }
    }
}

/// Pₙ(x) and its derivative.
fn legendre(degree: usize, x: f64) -> [f64; 2] {
    let (mut before, mut here) = (0.0, 1.0);
    let (mut slope_before, mut slope) = (0.0, 0.0);
    for n in 0..degree {
        let n = n as f64;
        let next = ((2.0 * n + 1.0) * x * here - n * before) / (n + 1.0);
        let next_slope = slope_before + (2.0 * n + 1.0) * here;
        (before, here) = (here, next);
        (slope_before, slope) = (slope, next_slope);
    }
    [here, slope]
}

#[cfg(test)]
mod tests {
    use super::{AxisNodes, End};

    const ENDS: [[End; 2]; 4] = [
        [End::Joined, End::Joined],
        [End::Free, End::Free],
        [End::Free, End::Joined],
        [End::Joined, End::Free],
    ];

    /// Cells fill the side, each around its node.
    #[test]
    fn cells_hold_their_nodes() {
        for ends in ENDS {
            let nodes = AxisNodes::new(ends, 7);
            assert!(nodes.cell_ends[0].abs() < 1e-12 && (nodes.cell_ends[7] - 1.0).abs() < 1e-12);
            for (at, cell) in nodes.at.iter().zip(nodes.cell_ends.windows(2)) {
                assert!(cell[0] < *at && *at < cell[1], "{ends:?}: {at} in {cell:?}");
            }
        }
    }

    /// The integral of a slope is what the function rises by: nothing between two free ends, and from a free
    /// end to a joined one the value there.
    #[test]
    fn slopes_are_those_of_the_values() {
        for ends in ENDS {
            let nodes = AxisNodes::new(ends, 400);
            for function in nodes.edge_functions(ends, 3).functions.iter().skip(1) {
                // Integration by parts against x: ∫xf′ = f(1) − ∫f.
                let moment: f64 = nodes.at.iter().zip(&function.slope).map(|(x, s)| x * s).sum();
                let rise: f64 = function.slope.iter().sum();
                let area: f64 = function.value.iter().sum();
                let at_far_end = match ends {
                    [End::Joined, End::Joined] => 1.0,
                    [_, End::Free] => 0.0,
                    _ => rise,
                };
                assert!((moment - at_far_end + area).abs() < 1e-3, "{ends:?}: {moment} {area}");
            }
        }
    }
}
