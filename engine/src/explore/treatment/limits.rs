//! What may still be added: money, pieces, stock, and places that are not taken.

use super::{Candidate, Products, TreatmentError, TreatmentPlan};
use crate::scene::Room;

/// The means, and who is in whose way.
#[derive(Debug, Clone)]
pub(super) struct Limits {
    budget: f64,
    pieces: usize,
    counts: Vec<usize>,
    /// What each move costs, where all costs are known.
    costs: Vec<Option<f64>>,
    /// Pieces and kind of each move.
    sizes: Vec<(usize, usize)>,
    /// Area of each move, square metres.
    areas: Vec<f64>,
    /// For each move, those that it cannot go with, one bit each.
    conflicts: Vec<Vec<u64>>,
    by_cost: bool,
}

/// Room for the rounding of a sum of costs that is meant to come out at the budget.
const ROUNDING: f64 = 1e-9;

impl Limits {
    pub(super) fn new(
        room: &Room,
        candidates: &[Candidate],
        products: &Products,
        plan: &TreatmentPlan,
    ) -> Self {
        let blocks: Vec<Vec<_>> = candidates
            .iter()
            .map(|m| {
                let block =
                    |p: &super::PlacedAbsorber| Some(p.block(room, products.all.get(p.product)?));
                m.pieces.iter().filter_map(block).collect()
            })
            .collect();
        let words = candidates.len().div_ceil(64);
        // A cloud over a board on the ceiling hides it: they clash as if both lay flat.
        let over = |one: &Candidate, other: &Candidate| {
            let covered = |a: &super::PlacedAbsorber| {
                other.pieces.iter().any(|b| a.covers(b.on, b.centre_m, b.size_m))
            };
            one.pieces.iter().any(covered)
        };
        let conflicts = blocks
            .iter()
            .zip(candidates)
            .map(|(own, one)| {
                let mut bits = vec![0u64; words];
                for (index, (other, two)) in blocks.iter().zip(candidates).enumerate() {
                    if over(one, two) || own.iter().any(|a| other.iter().any(|b| a.overlaps(b))) {
                        bits[index / 64] |= 1 << (index % 64);
                    }
                }
                bits
            })
            .collect();
        Self {
            budget: plan.budget.unwrap_or(f64::INFINITY),
            pieces: plan.pieces,
            counts: products.all.iter().map(|product| product.count).collect(),
            costs: candidates.iter().map(|m| m.cost(products)).collect(),
            sizes: candidates.iter().map(|m| (m.pieces.len(), m.product())).collect(),
            areas: candidates.iter().map(Candidate::area_m2).collect(),
            conflicts,
            by_cost: is_by_cost(products),
        }
    }

    /// What a move takes: its cost where every absorber has one, or else its area.
    pub(super) fn price(&self, index: usize) -> f64 {
        let area_m2 = self.areas.get(index).copied().unwrap_or(1.0);
        let cost = self.costs.get(index).copied().flatten();
        cost.filter(|_| self.by_cost).unwrap_or(area_m2)
    }

    /// Whether all of these can be bought and put up together.
    pub(super) fn allow(&self, chosen: &[usize]) -> bool {
        let of = |index: &usize| self.sizes.get(*index).copied().unwrap_or((0, 0));
        let pieces: usize = chosen.iter().map(|m| of(m).0).sum();
        let cost: f64 = chosen.iter().filter_map(|&m| self.costs.get(m).copied().flatten()).sum();
        let in_stock = self.counts.iter().enumerate().all(|(product, &count)| {
            chosen.iter().map(of).filter(|size| size.1 == product).map(|size| size.0).sum::<usize>()
                <= count
        });
        let clash = |a: usize, b: usize| {
            self.conflicts.get(a).is_some_and(|bits| {
                bits.get(b / 64).is_some_and(|word| word & (1 << (b % 64)) != 0)
            })
        };
        pieces <= self.pieces
            && cost <= self.budget * (1.0 + ROUNDING)
            && in_stock
            && chosen.iter().enumerate().all(|(at, &a)| chosen[..at].iter().all(|&b| !clash(a, b)))
    }

    /// Whether any move at all can be bought; if not, why.
    pub(super) fn anything(&self, candidates: &[Candidate]) -> Result<(), TreatmentError> {
        if (0..candidates.len()).any(|index| self.allow(&[index])) {
            return Ok(());
        }
        let has_pieces = |index: &usize| {
            let (pieces, product) = self.sizes[*index];
            pieces <= self.pieces && self.counts.get(product).is_some_and(|&count| pieces <= count)
        };
        let least = (0..candidates.len())
            .filter(has_pieces)
            .filter_map(|index| Some((self.costs[index]?, self.sizes[index].0)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        Err(match least {
            Some((least, pieces)) => {
                TreatmentError::TooDear { budget: self.budget, least, mirror_pair: pieces > 1 }
            }
            None => TreatmentError::OnlyMirrorPairs,
        })
    }
}

/// Whether gains are held against money: every absorber on offer has a cost above nought.
pub(super) fn is_by_cost(products: &Products) -> bool {
    products.all.iter().all(|product| product.cost.is_some_and(|cost| cost > 0.0))
}

/// Whether the wishes make sense before anything is looked for.
///
/// # Errors
/// Why they do not.
pub(super) fn check(plan: &TreatmentPlan, products: &Products) -> Result<(), TreatmentError> {
    if plan.pieces == 0 {
        return Err(TreatmentError::NoPieces);
    }
    if plan.speakers.is_empty() || plan.listeners.is_empty() {
        return Err(TreatmentError::Nobody);
    }
    let Some(budget) = plan.budget else { return Ok(()) };
    if budget.is_nan() || budget <= 0.0 {
        return Err(TreatmentError::NoMoney { budget });
    }
    match products.all.iter().find(|product| product.cost.is_none()) {
        Some(product) => {
            Err(TreatmentError::NoCost { name: product.name.clone(), generic: products.generic })
        }
        None => Ok(()),
    }
}
