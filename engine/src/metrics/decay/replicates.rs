//! A decay known from independent random batches, and the error of everything read from it.

use super::energy::{EnergyDecay, Truncation};
use super::estimate::{Estimate, jackknife};
use super::evaluate::{MetricInputs, evaluate};
use super::metric::{Metric, Metrics};
use super::schroeder::SchroederCurve;
use super::unavailable::Unavailable;

/// A decay of which one part is deterministic and the other estimated by independent batches.
///
/// Every batch is by itself an estimate of the whole random part (not a share of it), all of the
/// same weight; their mean is added to the deterministic part. Lists that end early count as nought from
/// there on. Sums run in the order given, so the same input gives the same bits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Replicates<'a> {
    /// Width of a bin in seconds.
    pub bin_s: f64,
    /// Energy of the deterministic part in every bin, the direct sound in bin 0.
    pub deterministic: &'a [f64],
    /// Energy of the random part in every bin, once for every batch.
    pub batches: &'a [&'a [f64]],
    /// What comes after the last bin.
    pub truncation: Truncation,
}

impl Replicates<'_> {
    /// The decay itself: the deterministic part and the mean of the batches.
    pub fn decay(&self) -> EnergyDecay {
        self.over_count(&self.sum(), self.batches.len())
    }

    /// Every figure of the decay with its standard error, found by leaving out one batch at a
    /// time ([`jackknife`]).
    ///
    /// Without batches the error is zero. It is `None` where there is a single batch, or where a
    /// figure is there with all batches but not with each one left out: then the batches are too
    /// few to say how far it can be trusted.
    pub fn metrics(&self, inputs: &MetricInputs) -> Metrics<Result<Estimate, Unavailable>> {
        let all = evaluate(&self.decay(), inputs);
        let left_out: Vec<_> = self.each_left_out().map(|decay| evaluate(&decay, inputs)).collect();
        Metrics::from_fn(|metric: Metric| {
            let value = all[metric]?;
            let others: Option<Vec<f64>> = left_out.iter().map(|f| f[metric].ok()).collect();
            Ok(self.estimate(value, others))
        })
    }

    /// Level of the decay curve at every edge between bins with its standard error, decibels
    /// relative to the first (see [`SchroederCurve::level_db`]). Where nothing is left the level is
    /// negative infinity and the error `None`.
    ///
    /// # Errors
    ///
    /// As [`SchroederCurve::of`].
    pub fn curve_db(&self) -> Result<Vec<Estimate>, Unavailable> {
        let all = SchroederCurve::of(&self.decay())?;
        let left_out: Option<Vec<Vec<f64>>> = self
            .each_left_out()
            .map(|decay| SchroederCurve::of(&decay).ok().map(|c| c.level_db().collect()))
            .collect();
        let at = |edge: usize| -> Option<Vec<f64>> {
            left_out.as_ref()?.iter().map(|levels| levels.get(edge).copied()).collect()
        };
        Ok(all.level_db().enumerate().map(|(edge, v)| self.estimate(v, at(edge))).collect())
    }

    /// Energy in every bin with its standard error: that of the mean over the batches.
    pub fn energy(&self) -> Vec<Estimate> {
        let energy = self.decay().energy;
        let count = self.batches.len();
        let one = |bin: usize, value: f64| {
            if count == 0 {
                return Estimate::exact(value);
            }
            let mean = value - bin_of(self.deterministic, bin);
            let squares: f64 = self.batches.iter().map(|b| (bin_of(b, bin) - mean).powi(2)).sum();
            let standard_error =
                (count > 1).then(|| (squares / (count as f64 * (count as f64 - 1.0))).sqrt());
            Estimate { value, standard_error }
        };
        energy.into_iter().enumerate().map(|(bin, value)| one(bin, value)).collect()
    }

    fn estimate(&self, value: f64, left_out: Option<Vec<f64>>) -> Estimate {
        if self.batches.is_empty() {
            return Estimate::exact(value);
        }
        Estimate { value, standard_error: left_out.and_then(|others| jackknife(&others)) }
    }

    /// The decay from all batches but one, for each in order; of a single batch nothing is left.
    fn each_left_out(&self) -> impl Iterator<Item = EnergyDecay> {
        let sum = self.sum();
        let rest = self.batches.len() - usize::from(!self.batches.is_empty());
        let several = if rest > 0 { self.batches } else { &[] };
        several.iter().map(move |batch| {
            // What is left of the only batch with energy in a bin is rounding, and not below zero.
            let others: Vec<f64> = sum
                .iter()
                .enumerate()
                .map(|(bin, all)| (all - bin_of(batch, bin)).max(0.0))
                .collect();
            self.over_count(&others, rest)
        })
    }

    fn over_count(&self, sum: &[f64], count: usize) -> EnergyDecay {
        let share = if count == 0 { 0.0 } else { 1.0 / count as f64 };
        let energy = sum
            .iter()
            .enumerate()
            .map(|(bin, all)| bin_of(self.deterministic, bin) + share * all)
            .collect();
        EnergyDecay { bin_s: self.bin_s, energy, truncation: self.truncation }
    }

    /// Sum over the batches, as long as the longest list.
    fn sum(&self) -> Vec<f64> {
        let length =
            self.batches.iter().map(|b| b.len()).max().unwrap_or(0).max(self.deterministic.len());
        let mut sum = vec![0.0; length];
        for batch in self.batches {
            for (all, energy) in sum.iter_mut().zip(*batch) {
                *all += energy;
            }
        }
        sum
    }
}

fn bin_of(list: &[f64], bin: usize) -> f64 {
    list.get(bin).copied().unwrap_or(0.0)
}
