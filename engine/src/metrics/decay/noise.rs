//! A measured decay that sinks into noise: where it does, and what is left when the noise goes.

use super::energy::{EnergyDecay, Truncation};
use super::tail::{Tail, bins, exponential_rate};
use thiserror::Error;

/// Noise floor of a measured decay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoiseFloor {
    /// Mean energy of the noise in a bin.
    pub energy_per_bin: f64,
    /// Time at which the decay has fallen to the noise, seconds.
    pub knee_s: f64,
    /// Decay rate of the energy above the noise, 1/s.
    pub rate_per_s: f64,
}

/// Why no noise floor is taken off a decay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum NoiseRefused {
    /// The bins have no positive width, or an energy is not a finite number.
    #[error("the decay holds something that is not a number, or bins without width")]
    Unusable,
    /// The decay stands too little above the noise, or falls too fast for its bins, to lay a line
    /// through it.
    #[error("too little stands above the noise")]
    Buried,
    /// What comes last still decays, or too little of it is there: it is not a noise floor. The
    /// bins may be taken as cut ([`Truncation::EstimatedTail`]).
    #[error("no noise floor is reached")]
    NoFloor,
}

/// A measured decay with its noise taken off: the mean of the noise is subtracted from every bin
/// up to the knee (Chu 1978), the bins past it are dropped, and the energy that the decay still has
/// there is known to follow (ISO 3382-1). All from memory.
///
/// The rule that a figure's range ends 10 dB above the floor then follows by itself, for the curve
/// is known down to the knee ([`super::EvaluationRange::decay_time`]).
///
/// # Errors
///
/// As [`find_floor`].
pub fn without_noise(measured: &EnergyDecay) -> Result<EnergyDecay, NoiseRefused> {
    let floor = find_floor(measured)?;
    let kept = bins(floor.knee_s, measured.bin_s).min(measured.energy.len());
    let energy = measured.energy.iter().take(kept).map(|e| e - floor.energy_per_bin).collect();
    let past_knee_s = kept as f64 * measured.bin_s - floor.knee_s;
    let power = floor.energy_per_bin / measured.bin_s;
    let tail = Tail {
        energy: power / floor.rate_per_s * (-floor.rate_per_s * past_knee_s).exp(),
        rate_per_s: floor.rate_per_s,
    };
    Ok(EnergyDecay { bin_s: measured.bin_s, energy, truncation: Truncation::KnownTail(tail) })
}

/// Find where a measured decay sinks into noise.
///
/// After Lundeby, Vigran, Bietz and Vorländer (Acustica 1995, from memory): means over intervals, a
/// line through the decay above the noise, the noise again from well past the crossing, and so on
/// until the crossing stays. Departures: the noise is taken off before the line is laid, so that
/// it does not bend it, and what is called noise must not decay.
///
/// # Errors
///
/// [`NoiseRefused`], with its reason.
pub fn find_floor(measured: &EnergyDecay) -> Result<NoiseFloor, NoiseRefused> {
    if !measured.is_usable() {
        return Err(NoiseRefused::Unusable);
    }
    let count = measured.energy.len();
    let mut from = count - count / LAST_PART;
    let mut block = bins(FIRST_BLOCK_S, measured.bin_s).clamp(1, (count / FIRST_BLOCKS).max(1));
    let mut found = None;
    for _ in 0..ROUNDS {
        let noise = mean(&measured.energy, from).ok_or(NoiseRefused::NoFloor)?;
        let line = ExponentialDecay::through(measured, noise, block)?;
        let knee_s = line.time_at_s(noise);
        let per_ten_db_s = std::f64::consts::LN_10 / line.rate_per_s;
        block = bins(per_ten_db_s / BLOCKS_PER_TEN_DB, measured.bin_s).max(1);
        from = bins(knee_s + PAST_KNEE_DB / 10.0 * per_ten_db_s, measured.bin_s);
        if from >= count {
            return Err(NoiseRefused::NoFloor);
        }
        found = Some(NoiseFloor { energy_per_bin: noise, knee_s, rate_per_s: line.rate_per_s });
    }
    let floor = found.ok_or(NoiseRefused::Buried)?;
    if is_flat(measured, from, floor.rate_per_s) { Ok(floor) } else { Err(NoiseRefused::NoFloor) }
}

/// One in so many bins, the last, is the first guess of the noise.
const LAST_PART: usize = 10;
/// First interval of means, seconds; and how many of them there are at least.
const FIRST_BLOCK_S: f64 = 0.02;
const FIRST_BLOCKS: usize = 40;
/// Intervals in 10 dB of decay after that.
const BLOCKS_PER_TEN_DB: f64 = 5.0;
/// The line ends this far above the noise, decibels, and spans at most so many.
const ABOVE_NOISE_DB: f64 = 7.0;
const SPAN_DB: f64 = 20.0;
/// Noise is what comes later than the decay needs to fall this far below it, decibels.
const PAST_KNEE_DB: f64 = 7.0;
/// Rounds of line and noise; the crossing stays after three or four.
const ROUNDS: usize = 8;
/// What is called noise lasts at least as long as the decay takes for so many nepers of energy.
const SHORTEST_FLOOR: f64 = 2.0;
/// Noise may decay at this part of the decay's own rate; a longer decay would fall at all of it.
const GREATEST_FLOOR_SLOPE: f64 = 0.5;

/// An exponential through the means of a decay: energy per bin at time 0, and its rate.
struct ExponentialDecay {
    energy_per_bin: f64,
    rate_per_s: f64,
}

impl ExponentialDecay {
    /// Least squares in level over the intervals between the loudest and the noise.
    fn through(measured: &EnergyDecay, noise: f64, block: usize) -> Result<Self, NoiseRefused> {
        let means: Vec<f64> = measured
            .energy
            .chunks_exact(block)
            .map(|bins| bins.iter().sum::<f64>() / block as f64 - noise)
            .collect();
        let loudest = means.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
        let first = loudest.map_or(0, |(index, _)| index);
        let least = noise.max(0.0) * 10f64.powf(ABOVE_NOISE_DB / 10.0);
        let most = least * 10f64.powf(SPAN_DB / 10.0);
        let heard: Vec<(f64, f64)> = means
            .iter()
            .enumerate()
            .skip(first)
            .take_while(|&(_, &mean)| mean > least && mean > 0.0)
            .map(|(index, mean)| ((index as f64 + 0.5) * block as f64 * measured.bin_s, mean.ln()))
            .collect();
        let start = heard.iter().rposition(|p| p.1.exp() > most && least > 0.0);
        let used = heard.get(start.map_or(0, |i| i + 1)..).unwrap_or(&[]);
        // Little between noise and most may be left: then all that was heard.
        let used = if used.len() < FEWEST_BLOCKS { &heard[..] } else { used };
        if used.len() < FEWEST_BLOCKS {
            return Err(NoiseRefused::Buried);
        }
        fit(used).ok_or(NoiseRefused::Buried)
    }

    fn time_at_s(&self, energy_per_bin: f64) -> f64 {
        (self.energy_per_bin / energy_per_bin).ln() / self.rate_per_s
    }
}

/// Intervals that a line needs.
const FEWEST_BLOCKS: usize = 3;

fn fit(points: &[(f64, f64)]) -> Option<ExponentialDecay> {
    let count = points.len() as f64;
    let time = points.iter().map(|p| p.0).sum::<f64>() / count;
    let level = points.iter().map(|p| p.1).sum::<f64>() / count;
    let times: f64 = points.iter().map(|p| (p.0 - time).powi(2)).sum();
    let both: f64 = points.iter().map(|p| (p.0 - time) * (p.1 - level)).sum();
    let rate_per_s = -both / times;
    let energy_per_bin = (level + rate_per_s * time).exp();
    (rate_per_s.is_finite() && rate_per_s > 0.0 && energy_per_bin.is_finite())
        .then_some(ExponentialDecay { energy_per_bin, rate_per_s })
}

/// Mean from a bin to the end, where it is above zero.
fn mean(energy: &[f64], from: usize) -> Option<f64> {
    let part = energy.get(from..).filter(|part| !part.is_empty())?;
    let mean = part.iter().sum::<f64>() / part.len() as f64;
    (mean > 0.0).then_some(mean)
}

fn is_flat(measured: &EnergyDecay, from: usize, rate_per_s: f64) -> bool {
    let part = measured.energy.get(from..).unwrap_or(&[]);
    let length = rate_per_s * measured.bin_s * part.len() as f64;
    let own = exponential_rate(measured.bin_s, part);
    length >= SHORTEST_FLOOR
        && own.is_some_and(|own| own.abs() <= GREATEST_FLOOR_SLOPE * rate_per_s)
}
