//! The energy of one band in even time bins, and what is known of it past its end.

use super::tail::Tail;

/// Energy of one octave band that arrives at a listener, in even time bins.
///
/// Time 0 is the arrival of the direct sound, which counts as an impulse at the start of bin 0;
/// bin 0 may hold early reflections besides. Energies are |p|² sums in the caller's unit; a bin
/// may be negative where a noise floor was taken off it.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyDecay {
    /// Width of a bin in seconds, above zero.
    pub bin_s: f64,
    /// Energy in every bin, from time 0.
    pub energy: Vec<f64>,
    /// What comes after the last bin.
    pub truncation: Truncation,
}

/// What is known of the energy after the last bin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Truncation {
    /// Nothing comes after it: everything that arrives is in the bins.
    Complete,
    /// The bins stop before the sound has died away, and what follows is estimated by carrying
    /// the last part of the decay on ([`Tail::estimate`]).
    EstimatedTail,
    /// The bins stop before the sound has died away, and this follows.
    KnownTail(Tail),
}

impl EnergyDecay {
    /// A decay of which everything is in the bins.
    pub fn complete(bin_s: f64, energy: Vec<f64>) -> Self {
        Self { bin_s, energy, truncation: Truncation::Complete }
    }

    /// A decay whose bins stop before the sound has died away.
    pub fn truncated(bin_s: f64, energy: Vec<f64>) -> Self {
        Self { bin_s, energy, truncation: Truncation::EstimatedTail }
    }

    /// Time at which the bins stop, seconds.
    pub fn length_s(&self) -> f64 {
        self.bin_s * self.energy.len() as f64
    }

    /// Whether the bins are of a positive width and all energies finite.
    pub(super) fn is_usable(&self) -> bool {
        self.bin_s.is_finite() && self.bin_s > 0.0 && self.energy.iter().all(|e| e.is_finite())
    }
}
