//! What follows a decay that stops too soon, if it goes on as it went last.

use super::unavailable::Unavailable;

/// An exponential decay that goes on past the end of the bins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tail {
    /// All energy after the last bin.
    pub energy: f64,
    /// How fast it decays, 1/s: energy falls as exp(−rate·t), and the reverberation time is
    /// 6·ln 10/rate.
    pub rate_per_s: f64,
}

impl Tail {
    /// No tail: nothing follows.
    pub const NONE: Self = Self { energy: 0.0, rate_per_s: f64::INFINITY };

    /// The tail of a decay whose bins stop too soon; none where the last half of them is empty.
    ///
    /// ISO 3382-1 (from memory) lets a constant be added to the backward integral: the energy past
    /// the end, for an exponential decay at the rate of the last part before it, which here is the
    /// last 10 dB, and at most the last half. The rate follows from the mean time of the energy in
    /// that part (own derivation), which needs no logarithm and so bears empty bins.
    ///
    /// A last half with less than 10⁻⁵ of all energy may hold too few arrivals to tell a rate; then
    /// more of the decay before it is taken in.
    ///
    /// # Errors
    ///
    /// [`Unavailable::NothingDecays`] where the last part does not decay.
    pub fn estimate(bin_s: f64, energy: &[f64]) -> Result<Self, Unavailable> {
        let half = energy.len().div_ceil(2);
        let inside: f64 = last(energy, half).iter().sum();
        let total: f64 = energy.iter().sum();
        if inside <= 0.0 {
            return Ok(Self::NONE);
        }
        let found = Self::from_last(bin_s, energy, half);
        if found.is_ok() || inside > QUIET_SHARE * total {
            return found;
        }
        Self::from_last(bin_s, energy, half + half / 2)
    }

    fn from_last(bin_s: f64, energy: &[f64], longest: usize) -> Result<Self, Unavailable> {
        let mut part = longest;
        for _ in 0..WINDOW_ROUNDS {
            let rate = falling_rate(bin_s, last(energy, part))?;
            part = bins(std::f64::consts::LN_10 / rate, bin_s)
                .clamp(FEWEST_BINS.min(longest), longest);
        }
        let window = last(energy, part);
        let rate_per_s = falling_rate(bin_s, window)?;
        let growth = (rate_per_s * bin_s * window.len() as f64).exp_m1();
        Ok(Self { energy: window.iter().sum::<f64>() / growth, rate_per_s })
    }
}

/// The rate, 1/s, of an exponential decay of which only a window is seen, from its energy in bins;
/// zero or below where it does not fall, `None` where the window holds no energy.
///
/// The bins of an exponential decay are a geometric series: over n of them the mean index is
/// 1/(e^y − 1) − n/(e^(ny) − 1), with y the rate times the width of a bin. That is solved for y.
pub(super) fn exponential_rate(bin_s: f64, energy: &[f64]) -> Option<f64> {
    let total: f64 = energy.iter().sum();
    if total <= 0.0 || energy.len() < 2 {
        return None;
    }
    let weighted: f64 = energy.iter().enumerate().map(|(i, e)| i as f64 * e).sum();
    let count = energy.len() as f64;
    let middle = 0.5 * (count - 1.0);
    let mean = weighted / total;
    // Mirror a rising window, so that one search serves both.
    let (target, sign) = if mean <= middle { (mean, 1.0) } else { (count - 1.0 - mean, -1.0) };
    let (mut low, mut high) = (0.0, STEEPEST_PER_BIN);
    for _ in 0..HALVINGS {
        let y = f64::midpoint(low, high);
        if mean_index(y, count) > target { low = y } else { high = y }
    }
    Some(sign * f64::midpoint(low, high) / bin_s)
}

/// Share of all energy below which the last half of the bins may be too sparse to tell a rate.
const QUIET_SHARE: f64 = 1e-5;
/// Steps in which the part taken for the last 10 dB is found.
const WINDOW_ROUNDS: usize = 3;
/// A rate is read from at least this many bins where there are as many.
const FEWEST_BINS: usize = 8;
/// Steepest decay that is looked for, in nepers of energy a bin: more leaves one bin alone.
const STEEPEST_PER_BIN: f64 = 50.0;
/// Halvings of the search interval: enough for the last digit.
const HALVINGS: usize = 60;

/// Mean index of count bins whose energy falls as exp(−y·i).
fn mean_index(y: f64, count: f64) -> f64 {
    let x = y * count;
    if x < 1e-4 {
        // First terms of the series, where the difference below would lose its digits.
        return 0.5 * (count - 1.0) - y * (count * count - 1.0) / 12.0;
    }
    1.0 / y.exp_m1() - count / x.exp_m1()
}

fn last(energy: &[f64], part: usize) -> &[f64] {
    energy.get(energy.len().saturating_sub(part)..).unwrap_or(energy)
}

fn falling_rate(bin_s: f64, window: &[f64]) -> Result<f64, Unavailable> {
    let rate = exponential_rate(bin_s, window).ok_or(Unavailable::NothingDecays)?;
    // Rounding leaves the rate of an even window a hair off nought.
    let falls_by = rate * bin_s * window.len() as f64;
    if falls_by > 1e-6 { Ok(rate) } else { Err(Unavailable::NothingDecays) }
}

/// Number of whole bins nearest to a time, for times that a decay may take.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded to counts of bins before it is cast"
)]
pub(super) fn bins(time_s: f64, bin_s: f64) -> usize {
    (time_s / bin_s).round().clamp(0.0, 1e9) as usize
}
