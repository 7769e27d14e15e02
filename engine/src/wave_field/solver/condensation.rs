//! Static condensation of a pair of parallel surfaces without panels.
//!
//! A cosine on such a surface meets, through the rigid room's Green's function S, only itself and the
//! cosine with its numbers opposite, and those on the other surfaces that share a number with it. Its
//! row of `(1 + jk·S·B)·u = 4π·s` is therefore solved by hand (Schur complement; Golub and Van Loan,
//! Matrix Computations, from memory), exactly. What is left is the system of the other surfaces, with
//! the Green's function of a room in which the pair absorbs:
//! `S̃ = S_kk − S_ke·C·(1 + S_ee·C)⁻¹·S_ek`, C being jk times the admittance of the pair.

use super::rigid_greens::RigidGreens;
use crate::scene::Room;
use crate::wave_field::boundary::{AdmittanceMatrix, SurfaceBasis};
use faer::Mat;
use num_complex::Complex64;
use std::collections::BTreeMap;
use std::ops::Range;

/// Which basis functions are condensed, and which are kept.
#[derive(Debug)]
pub(super) struct Condensation {
    /// Indices of the functions that are kept, rising.
    kept: Vec<usize>,
    pairs: Vec<OppositePair>,
}

/// Functions with the same numbers on two parallel surfaces, of which one may have panels and be kept.
#[derive(Debug)]
struct OppositePair {
    functions: [Option<usize>; 2],
    /// Kept functions that couple to them, by their places among the kept.
    coupled: Vec<usize>,
}

/// Condensed functions at one frequency.
#[derive(Debug, Clone)]
pub(super) struct CondensedSurfaces<'a> {
    plan: &'a Condensation,
    pairs: Vec<CondensedPair>,
}

/// Pair of condensed functions at one frequency.
#[derive(Debug, Clone)]
struct CondensedPair {
    /// `(1 + S_ee·C)⁻¹`.
    inverse: [[Complex64; 2]; 2],
    /// `C·(1 + S_ee·C)⁻¹`, symmetric.
    reaction: [[Complex64; 2]; 2],
    /// Entries of S to each coupled function.
    coupling: Vec<[Complex64; 2]>,
}

impl Condensation {
    /// Condensation of the surfaces without panels across the axis on which they have most functions.
    pub(super) fn new(basis: &SurfaceBasis) -> Self {
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
        let kept: Vec<usize> = (0..basis.functions.len()).filter(|index| !goes(index)).collect();
        let coupled = |n: &[usize; 3]| {
            let places = kept.iter().enumerate().filter(|&(_, &index)| {
                let other = &basis.functions[index];
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

    /// Condensed functions in the rigid room, with the admittance of every surface.
    pub(super) fn at_frequency(
        &self,
        room: &Room,
        rigid: &RigidGreens<'_>,
        admittances: &[(Range<usize>, AdmittanceMatrix)],
    ) -> CondensedSurfaces<'_> {
        let jk = Complex64::I * rigid.k;
        let flux_factor = |function: Option<usize>| {
            let of_function = |index: usize| {
                admittances.iter().find_map(|(range, matrix)| match matrix {
                    AdmittanceMatrix::Uniform(admittance) if range.contains(&index) => {
                        Some(jk * admittance)
                    }
                    _ => None,
                })
            };
            function.and_then(of_function).unwrap_or_default()
        };
        let entry = |one: Option<usize>, other: Option<usize>| match (one, other) {
            (Some(one), Some(other)) => rigid.entry(room, one, other),
            _ => Complex64::ZERO,
        };
        let at_frequency = |pair: &OppositePair| {
            let [a, b] = pair.functions;
            let [c_a, c_b] = [a, b].map(flux_factor);
            let (same, across) = (entry(a.or(b), a.or(b)), entry(a, b));
            let [m_aa, m_ab] = [1.0 + same * c_a, across * c_b];
            let [m_ba, m_bb] = [across * c_a, 1.0 + same * c_b];
            let determinant = m_aa * m_bb - m_ab * m_ba;
            let inverse =
                [[m_bb, -m_ab], [-m_ba, m_aa]].map(|row| row.map(|value| value / determinant));
            let reaction =
                [inverse[0].map(|value| c_a * value), inverse[1].map(|value| c_b * value)];
            let kept = pair.coupled.iter().map(|&place| Some(self.kept[place]));
            let coupling = kept.map(|kept| [entry(a, kept), entry(b, kept)]).collect();
            CondensedPair { inverse, reaction, coupling }
        };
        CondensedSurfaces { plan: self, pairs: self.pairs.iter().map(at_frequency).collect() }
    }
}

impl CondensedSurfaces<'_> {
    /// Admittances of the surfaces kept, with the range of their functions among those kept.
    pub(super) fn kept_admittances<'a>(
        &self,
        admittances: &'a [(Range<usize>, AdmittanceMatrix)],
    ) -> impl Iterator<Item = (Range<usize>, &'a AdmittanceMatrix)> {
        admittances.iter().filter_map(|(range, matrix)| {
            let first = self.plan.kept.binary_search(&range.start).ok()?;
            Some((first..first + range.len(), matrix))
        })
    }

    /// Number of functions kept.
    pub(super) fn kept_count(&self) -> usize {
        self.plan.kept.len()
    }

    /// Values of the functions kept, out of those of all functions.
    pub(super) fn kept_of(&self, values: &[Complex64]) -> Vec<Complex64> {
        self.plan.kept.iter().map(|&index| values[index]).collect()
    }

    /// Matrix S̃ between the functions kept.
    pub(super) fn greens_matrix(&self, room: &Room, rigid: &RigidGreens<'_>) -> Mat<Complex64> {
        let kept = &self.plan.kept;
        let mut greens = Mat::zeros(kept.len(), kept.len());
        for (j, &other) in kept.iter().enumerate() {
            for (i, &one) in kept.iter().enumerate().skip(j) {
                greens[(i, j)] = rigid.entry(room, one, other);
                greens[(j, i)] = greens[(i, j)];
            }
        }
        for (plan, pair) in self.plan.pairs.iter().zip(&self.pairs) {
            for (&j, coupling) in plan.coupled.iter().zip(&pair.coupling) {
                let [a, b] = apply(&pair.reaction, *coupling);
                for (&i, coupling) in plan.coupled.iter().zip(&pair.coupling) {
                    greens[(i, j)] -= coupling[0] * a + coupling[1] * b;
                }
            }
        }
        greens
    }

    /// Right-hand side of the functions kept, from that of all functions.
    pub(super) fn condense(&self, incident: &[Complex64]) -> Vec<Complex64> {
        let mut condensed = self.kept_of(incident);
        for (plan, pair) in self.plan.pairs.iter().zip(&self.pairs) {
            let [a, b] = apply(&pair.reaction, plan.of(incident));
            for (&place, coupling) in plan.coupled.iter().zip(&pair.coupling) {
                condensed[place] -= coupling[0] * a + coupling[1] * b;
            }
        }
        condensed
    }

    /// Bilinear product of two projections with the reaction of the condensed surfaces alone.
    pub(super) fn product(&self, one: &[Complex64], other: &[Complex64]) -> Complex64 {
        let pairs = self.plan.pairs.iter().zip(&self.pairs);
        let product = |(plan, pair): (&OppositePair, &CondensedPair)| {
            let ([a, b], [c, d]) = (plan.of(one), apply(&pair.reaction, plan.of(other)));
            a * c + b * d
        };
        pairs.map(product).sum()
    }

    /// Pressure of all functions from that of the functions kept; that of the condensed ones is nought.
    pub(super) fn spread(&self, kept: impl Iterator<Item = Complex64>) -> Vec<Complex64> {
        let condensed = self.plan.pairs.iter().flat_map(|pair| pair.functions).flatten().count();
        let mut pressure = vec![Complex64::ZERO; self.plan.kept.len() + condensed];
        for (&index, value) in self.plan.kept.iter().zip(kept) {
            pressure[index] = value;
        }
        pressure
    }

    /// Fills in the pressure of the condensed functions, from the right-hand side of all functions and
    /// the flux into the surfaces kept.
    pub(super) fn recover(
        &self,
        incident: &[Complex64],
        flux: &[Complex64],
        pressure: &mut [Complex64],
    ) {
        for (plan, pair) in self.plan.pairs.iter().zip(&self.pairs) {
            let mut there = plan.of(incident);
            for (&place, coupling) in plan.coupled.iter().zip(&pair.coupling) {
                let flux = flux[self.plan.kept[place]];
                there[0] -= coupling[0] * flux;
                there[1] -= coupling[1] * flux;
            }
            for (function, value) in plan.functions.iter().zip(apply(&pair.inverse, there)) {
                if let Some(index) = *function {
                    pressure[index] = value;
                }
            }
        }
    }
}

impl OppositePair {
    /// Values of both functions; nought for one that is kept.
    fn of(&self, values: &[Complex64]) -> [Complex64; 2] {
        self.functions.map(|function| function.map_or(Complex64::ZERO, |index| values[index]))
    }
}

fn apply(matrix: &[[Complex64; 2]; 2], [a, b]: [Complex64; 2]) -> [Complex64; 2] {
    matrix.map(|row| row[0] * a + row[1] * b)
}
