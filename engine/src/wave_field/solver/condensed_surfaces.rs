//! Condensed surfaces at one frequency: the Green's function S̃ of the room in which they absorb, and
//! the way from the whole system to that of the surfaces kept and back.

use super::condensation::{Condensation, OppositePair};
use super::rigid_greens::RigidGreens;
use crate::scene::Room;
use crate::wave_field::bodies::LayerGreens;
use crate::wave_field::boundary::AdmittanceMatrix;
use faer::{Mat, Par};
use num_complex::Complex64;
use std::ops::Range;

/// Condensed functions at one frequency.
#[derive(Debug, Clone)]
pub(super) struct CondensedSurfaces<'a> {
    plan: &'a Condensation,
    pairs: Vec<CondensedPair>,
    /// Entries of S from each layer on bodies to both functions of each pair, two columns a pair.
    layers: Mat<Complex64>,
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

impl<'a> CondensedSurfaces<'a> {
    /// Condensed functions in the rigid room, with the admittance of every surface.
    pub(super) fn new(
        plan: &'a Condensation,
        room: &Room,
        rigid: &RigidGreens<'_>,
        admittances: &[(Range<usize>, AdmittanceMatrix)],
    ) -> Self {
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
            let kept = pair.coupled.iter().map(|&place| Some(plan.kept[place]));
            let coupling = kept.map(|kept| [entry(a, kept), entry(b, kept)]).collect();
            CondensedPair { inverse, reaction, coupling }
        };
        let layers = rigid.layers.as_ref().map_or(0, LayerGreens::count);
        let first = rigid.sub_band.basis.functions.len();
        let to_layers = |layer: usize, column: usize| {
            entry(plan.pairs[column / 2].functions[column % 2], Some(first + layer))
        };
        let layers = Mat::from_fn(layers, 2 * plan.pairs.len(), to_layers);
        Self { plan, pairs: plan.pairs.iter().map(at_frequency).collect(), layers }
    }

    /// Admittances of the surfaces kept, with the range of their functions among those kept.
    pub(super) fn kept_admittances<'m>(
        &self,
        admittances: &'m [(Range<usize>, AdmittanceMatrix)],
    ) -> impl Iterator<Item = (Range<usize>, &'m AdmittanceMatrix)> {
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
        self.condense_layers(&mut greens);
        greens
    }

    /// Takes the condensed surfaces' part off the rows and columns of the layers on bodies, which are the last.
    fn condense_layers(&self, greens: &mut Mat<Complex64>) {
        let layers = self.layers.nrows();
        let first = self.kept_count() - layers;
        let mut reacting = Mat::zeros(layers, self.layers.ncols());
        for (p, pair) in self.pairs.iter().enumerate() {
            for layer in 0..layers {
                let coupling = [self.layers[(layer, 2 * p)], self.layers[(layer, 2 * p + 1)]];
                let [a, b] = apply(&pair.reaction, coupling);
                (reacting[(layer, 2 * p)], reacting[(layer, 2 * p + 1)]) = (a, b);
            }
            for (&place, coupling) in self.plan.pairs[p].coupled.iter().zip(&pair.coupling) {
                for layer in 0..layers {
                    let [a, b] = [reacting[(layer, 2 * p)], reacting[(layer, 2 * p + 1)]];
                    let taken = coupling[0] * a + coupling[1] * b;
                    greens[(first + layer, place)] -= taken;
                    greens[(place, first + layer)] -= taken;
                }
            }
        }
        let between = greens.as_mut().submatrix_mut(first, first, layers, layers);
        let minus = Complex64::new(-1.0, 0.0);
        let to = self.layers.transpose();
        faer::linalg::matmul::matmul(between, faer::Accum::Add, &reacting, to, minus, Par::Seq);
    }

    /// Right-hand side of the functions kept, from that of all functions.
    pub(super) fn condense(&self, incident: &[Complex64]) -> Vec<Complex64> {
        let mut condensed = self.kept_of(incident);
        let mut reactions = Vec::with_capacity(2 * self.pairs.len());
        for (plan, pair) in self.plan.pairs.iter().zip(&self.pairs) {
            let [a, b] = apply(&pair.reaction, plan.of(incident));
            for (&place, coupling) in plan.coupled.iter().zip(&pair.coupling) {
                condensed[place] -= coupling[0] * a + coupling[1] * b;
            }
            reactions.extend([a, b]);
        }
        let first = condensed.len() - self.layers.nrows();
        for (column, reaction) in self.layers.col_iter().zip(reactions) {
            for (value, coupling) in condensed[first..].iter_mut().zip(column.iter()) {
                *value -= coupling * reaction;
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
        let of_layers = &flux[flux.len() - self.layers.nrows()..];
        let from_layers = |column: usize| -> Complex64 {
            self.layers.col(column).iter().zip(of_layers).map(|(a, b)| a * b).sum()
        };
        for (p, (plan, pair)) in self.plan.pairs.iter().zip(&self.pairs).enumerate() {
            let mut there = plan.of(incident);
            there[0] -= from_layers(2 * p);
            there[1] -= from_layers(2 * p + 1);
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

fn apply(matrix: &[[Complex64; 2]; 2], [a, b]: [Complex64; 2]) -> [Complex64; 2] {
    matrix.map(|row| row[0] * a + row[1] * b)
}
