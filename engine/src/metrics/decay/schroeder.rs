//! Backward integration: the decay curve of a band (Schroeder 1965).

use super::energy::{EnergyDecay, Truncation};
use super::tail::Tail;
use super::unavailable::Unavailable;

/// The decay curve of a band: at every edge between bins, the energy still to come.
///
/// E(t) = ∫ p² dτ from t on, in decibels relative to E(0) (Schroeder 1965; ISO 3382-1, from
/// memory).
#[derive(Debug, Clone, PartialEq)]
pub struct SchroederCurve {
    bin_s: f64,
    /// Energy to come from every edge on, the end of the last bin included.
    after: Vec<f64>,
    tail: Tail,
}

impl SchroederCurve {
    /// The curve of a decay, with what follows a cut end added.
    ///
    /// # Errors
    ///
    /// [`Unavailable::Unusable`], [`Unavailable::NoEnergy`], or [`Unavailable::NothingDecays`] where the bins are
    /// cut and what follows cannot be told.
    pub fn of(decay: &EnergyDecay) -> Result<Self, Unavailable> {
        if !decay.is_usable() {
            return Err(Unavailable::Unusable);
        }
        let tail = match decay.truncation {
            Truncation::Complete => Tail::NONE,
            Truncation::EstimatedTail => Tail::estimate(decay.bin_s, &decay.energy)?,
            Truncation::KnownTail(tail) => tail,
        };
        Self::with_tail(decay, tail)
    }

    /// The curve of the bins alone, as if nothing followed them. Where the bins are cut this bends
    /// down too early and makes decay times short; it is here to show by how much.
    ///
    /// # Errors
    ///
    /// [`Unavailable::Unusable`] or [`Unavailable::NoEnergy`].
    pub fn without_tail(decay: &EnergyDecay) -> Result<Self, Unavailable> {
        if decay.is_usable() {
            Self::with_tail(decay, Tail::NONE)
        } else {
            Err(Unavailable::Unusable)
        }
    }

    /// Width of a bin in seconds; level `i` of the curve stands at `i` times it.
    pub fn bin_s(&self) -> f64 {
        self.bin_s
    }

    /// Level at every edge in decibels relative to the first; negative infinity where nothing is
    /// left.
    pub fn level_db(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        let total = self.total();
        self.after.iter().map(move |e| 10.0 * (e.max(0.0) / total).log10())
    }

    /// Level down to which the curve rests on bins, decibels: that at the end of the last one.
    /// Negative infinity where the decay is complete.
    pub fn reached_db(&self) -> f64 {
        10.0 * (self.tail.energy.max(0.0) / self.total()).log10()
    }

    /// All energy.
    pub fn total(&self) -> f64 {
        self.after.first().copied().unwrap_or(0.0)
    }

    /// Energy that arrives from a time in seconds on; even within a bin, exponential past the last.
    pub fn energy_after(&self, time_s: f64) -> f64 {
        let place = (time_s / self.bin_s).max(0.0);
        let edge = super::tail::bins((place + EDGE_ROUNDING).floor(), 1.0);
        let within = (place - edge as f64).clamp(0.0, 1.0);
        if let (Some(from), Some(to)) = (self.after.get(edge), self.after.get(edge + 1)) {
            return from + (to - from) * within;
        }
        // Of nothing, nothing is left, however fast it decays.
        if self.tail.energy <= 0.0 {
            return 0.0;
        }
        let end_s = self.bin_s * (self.after.len().saturating_sub(1)) as f64;
        self.tail.energy * (-self.tail.rate_per_s * (time_s - end_s).max(0.0)).exp()
    }

    /// What follows the last bin; of no energy where the decay is complete.
    pub fn tail(&self) -> Tail {
        self.tail
    }

    fn with_tail(decay: &EnergyDecay, tail: Tail) -> Result<Self, Unavailable> {
        let mut sum = tail.energy;
        let mut after = Vec::with_capacity(decay.energy.len() + 1);
        after.push(sum);
        for energy in decay.energy.iter().rev() {
            sum += energy;
            after.push(sum);
        }
        after.reverse();
        let is_something = sum.is_finite() && sum > 0.0;
        if is_something {
            Ok(Self { bin_s: decay.bin_s, after, tail })
        } else {
            Err(Unavailable::NoEnergy)
        }
    }
}

/// Room for the rounding of a time that is meant to sit exactly on an edge, in bins.
const EDGE_ROUNDING: f64 = 1e-9;
