//! Second thoughts: earlier moves for better ones, idle ones left out, and the order to buy in.

use super::objective::{Score, steps};
use super::search::{LEAST_GAIN_DB, with};
use super::{DIMINISHED_SHARE, TreatmentSearch};
use rayon::prelude::*;
use std::cmp::Reverse;

/// An exchange gains at least this, decibels of the score.
const LEAST_SWAP_GAIN_DB: f64 = 0.01;
/// Rounds over all moves before it is good enough.
const SWAP_ROUNDS: usize = 2;
/// As the search's own.
const FULL_ORDER: usize = 3;

impl TreatmentSearch<'_> {
    /// Exchanges each chosen move for whatever does better in its place: for no higher price, or
    /// for whatever the means allow; without a budget only where that gains enough for what it takes
    /// more.
    pub(super) fn improve_by_swaps(&self, chosen: &mut [usize], pool: &[usize], dearer: bool) {
        let (Some(before), Some(mut now)) = (self.score(&[]), self.score(chosen)) else { return };
        let all: f64 = chosen.iter().map(|&index| self.limits.price(index)).sum();
        let usual =
            if all > 0.0 && self.plan.budget.is_none() { now.gain_on(&before) / all } else { 0.0 };
        let enough_db = |from: usize, to: usize| {
            let more = (self.limits.price(to) - self.limits.price(from)).max(0.0);
            f64::max(LEAST_SWAP_GAIN_DB, DIMINISHED_SHARE * usual * more)
        };
        for _ in 0..SWAP_ROUNDS {
            let mut changed = false;
            for at in 0..chosen.len() {
                if let Some((best_swap, score)) = self.best_swap(chosen, at, pool, dearer)
                    && score.gain_on(&now) > enough_db(chosen[at], best_swap)
                {
                    (chosen[at], now, changed) = (best_swap, score, true);
                }
            }
            if !changed {
                return;
            }
        }
    }

    /// What does best in the place of one move.
    fn best_swap(
        &self,
        chosen: &[usize],
        at: usize,
        pool: &[usize],
        dearer: bool,
    ) -> Option<(usize, Score)> {
        let rest = without(chosen, at);
        let price = self.limits.price(chosen[at]);
        let fits = |m: &usize| {
            !chosen.contains(m)
                && (dearer || self.limits.price(*m) <= price)
                && self.limits.allow(&with(&rest, *m))
        };
        let open: Vec<usize> = pool.iter().copied().filter(fits).collect();
        let open = if self.is_small() {
            open
        } else {
            Self::shortlisted(&open, |of, order| self.by_score(&rest, of, order))
        };
        let scored: Vec<(usize, Score)> = open
            .par_iter()
            .filter_map(|&index| Some((index, self.score(&with(&rest, index))?)))
            .collect();
        scored.into_iter().min_by_key(|(index, score)| (score.key(), *index))
    }

    /// Moves by how well they do beside the rest, whatever their price.
    fn by_score(&self, rest: &[usize], open: &[usize], order: usize) -> Vec<usize> {
        let mut scored: Vec<([i64; 2], usize)> = open
            .par_iter()
            .filter_map(|&index| Some((self.traced(&with(rest, index), order)?.key(), index)))
            .collect();
        scored.sort_unstable();
        scored.into_iter().map(|(_, index)| index).collect()
    }

    /// Leaves out what gains next to nothing beside the rest.
    pub(super) fn prune(&self, chosen: &mut Vec<usize>) {
        let mut at = 0;
        while at < chosen.len() {
            let rest = without(chosen, at);
            let gain =
                self.score(chosen).zip(self.score(&rest)).map(|(now, less)| now.gain_on(&less));
            if gain.is_some_and(|gain| gain < LEAST_GAIN_DB) {
                *chosen = rest;
                at = 0;
            } else {
                at += 1;
            }
        }
    }

    /// The chosen moves in the order to buy them: each time the one that then gains most for its
    /// price.
    pub(super) fn purchase_order(&self, chosen: &[usize]) -> Vec<usize> {
        let mut left = chosen.to_vec();
        let mut order: Vec<usize> = Vec::new();
        while !left.is_empty() {
            let now = self.traced(&order, FULL_ORDER);
            let key = |&index: &usize| {
                let after = self.score(&with(&order, index));
                let gain = after.zip(now).map_or(0.0, |(after, now)| after.gain_on(&now));
                let energy = after.map_or([0, 0], |after| after.key());
                (Reverse(steps(1000.0 * gain / self.limits.price(index))), energy, index)
            };
            let Some(best) = left.par_iter().map(key).min().map(|(_, _, index)| index) else {
                break;
            };
            left.retain(|&index| index != best);
            order.push(best);
        }
        order
    }
}

fn without(chosen: &[usize], at: usize) -> Vec<usize> {
    chosen.iter().enumerate().filter(|(index, _)| *index != at).map(|(_, &m)| m).collect()
}
