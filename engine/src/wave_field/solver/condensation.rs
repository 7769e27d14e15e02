//! Static condensation of a pair of parallel surfaces without panels: which functions go.
//!
//! A cosine on such a surface meets, through the rigid room's Green's function S, only itself and the
//! cosine with its numbers opposite, and those on the other surfaces that share a number with it. Its
//! row of `(1 + jk·S·B)·u = 4π·s` is therefore solved by hand (Schur complement; Golub and Van Loan,
//! Matrix Computations, from memory), exactly. What is left is the system of the other surfaces, with
//! the Green's function of a room in which the pair absorbs:
//! `S̃ = S_kk − S_ke·C·(1 + S_ee·C)⁻¹·S_ek`, C being jk times the admittance of the pair.

use crate::wave_field::boundary::SurfaceBasis;
use num_complex::Complex64;
use std::collections::BTreeMap;

/// Which basis functions are condensed, and which are kept.
#[derive(Debug)]
pub(super) struct Condensation {
    /// Indices of the functions that are kept, rising.
    pub(super) kept: Vec<usize>,
    pub(super) pairs: Vec<OppositePair>,
}

/// Functions with the same numbers on two parallel surfaces, of which one may have panels and be kept.
#[derive(Debug)]
pub(super) struct OppositePair {
    pub(super) functions: [Option<usize>; 2],
    /// Kept functions that couple to them, by their places among the kept, without the layers on bodies.
    pub(super) coupled: Vec<usize>,
}

impl Condensation {
    /// Condensation of the surfaces without panels across the axis on which they have most functions. So many layers
    /// on bodies follow the functions; they are kept, and couple to all functions.
    pub(super) fn new(basis: &SurfaceBasis, layers: usize) -> Self {
        let uniform = |axis: usize| {
            let ranges = basis.uniform_ranges();
            ranges.filter(move |range| {
                basis.functions.get(range.start).is_some_and(|f| f.surface.axis() == axis)
            })
        };
        let count = |axis: &usize| uniform(*axis).map(|range| range.len()).sum::<usize>();
        let axis = (0..3).max_by_key(count).unwrap_or(0);
        let mut condensed: BTreeMap<[usize; 3], [Option<usize>; 2]> = BTreeMap::new();
        for index in uniform(axis).flatten() {
            let function = &basis.functions[index];
            let pair = condensed.entry(function.n).or_default();
            pair[usize::from(function.surface.is_far())] = Some(index);
        }
        let goes = |index: &usize| {
            let pair = condensed.get(&basis.functions[*index].n);
            pair.is_some_and(|pair| pair.contains(&Some(*index)))
        };
        let functions = basis.functions.len();
        let mut kept: Vec<usize> = (0..functions).filter(|index| !goes(index)).collect();
        kept.extend(functions..functions + layers);
        let coupled = |n: &[usize; 3]| {
            let places = kept.iter().enumerate().filter(|&(_, &index)| {
                let Some(other) = basis.functions.get(index) else { return false };
                let normal = other.surface.axis();
                if normal == axis {
                    other.n == *n
                } else {
                    other.n[3 - axis - normal] == n[3 - axis - normal]
                }
            });
            places.map(|(place, _)| place).collect()
        };
        let pairs = condensed
            .iter()
            .map(|(n, functions)| OppositePair { functions: *functions, coupled: coupled(n) })
            .collect();
        Self { kept, pairs }
    }
}

impl OppositePair {
    /// Values of both functions; nought for one that is kept.
    pub(super) fn of(&self, values: &[Complex64]) -> [Complex64; 2] {
        self.functions.map(|function| function.map_or(Complex64::ZERO, |index| values[index]))
    }
}
