//! One energy-time curve from single arrivals and rays.

use crate::medium::bands::{BAND_COUNT, EARLY_BANDS, PerBand};
use crate::metrics::decay::Estimate;
use crate::ray_tracing::Histogram;
use crate::response::{CurveError, EnergyTime, ImpulseResponse, LateEnergy, NoiseSeed};
use crate::trace::PairSimulation;
use std::f64::consts::LN_10;
use std::ops::Range;

/// A merged curve is no longer than this, seconds: a room that rings on is shown well enough.
pub const LONGEST_CURVE_S: f64 = 1.0;

/// The energy that no single arrival of the response stands for: what the rays bring, and what the
/// response loses of its last arrivals as they fade out.
pub(super) fn late(pair: &PairSimulation, rays: &Histogram, speed_of_sound_m_s: f64) -> LateEnergy {
    let mut bins: Vec<PerBand<f64>> = (0..rays.bins()).map(|bin| rays.bin(bin).0).collect();
    let bin_m = rays.bin_s * speed_of_sound_m_s;
    for arrival in &pair.arrivals {
        let kept = pair.early.window.weight(arrival.distance_m / speed_of_sound_m_s).powi(2);
        let after_m = (arrival.distance_m - pair.direct.distance_m).max(0.0);
        if let Some(bin) = bins.get_mut(super::whole(after_m / bin_m)).filter(|_| kept < 1.0) {
            for (sum, energy) in bin.iter_mut().zip(arrival.band_energy) {
                *sum += (1.0 - kept) * energy;
            }
        }
    }
    LateEnergy { start_s: pair.direct.distance_m / speed_of_sound_m_s, bin_s: rays.bin_s, bins }
}

/// The whole response of a pair: its arrivals, and noise for all the rest.
///
/// Left and right speaker, and neighbouring seats, get noises that have nothing to do with each
/// other, as late sound has at places more than a wavelength apart.
pub fn response(
    pair: &PairSimulation,
    late: &LateEnergy,
    seed: u64,
    duration_s: f64,
) -> ImpulseResponse {
    pair.early.response.plus(&late.noise(duration_s, noise_seed(pair, seed, 0)))
}

/// The draw of a pair's noise; of different `channel`s, below 256, where it needs several.
pub fn noise_seed(pair: &PairSimulation, seed: u64, channel: u8) -> NoiseSeed {
    let [speaker, listener] = [pair.speaker as u64, pair.listener as u64];
    NoiseSeed { seed, number: speaker << 32 | u64::from(channel) << 24 | listener }
}

/// The curve of the whole response down to `floor_db` below all that arrives, in every band, and
/// at most [`LONGEST_CURVE_S`] long; never shorter than the curve of the arrivals alone.
pub(super) fn energy_time(
    pair: &PairSimulation,
    late: &LateEnergy,
    all: &Histogram,
    end: &End<'_>,
) -> EnergyTime {
    let at_floor_s = late.start_s + end.bins() as f64 * late.bin_s;
    let complete_s = at_floor_s.min(LONGEST_CURVE_S).max(pair.early.window.from_s);
    let response = response(pair, late, end.seed, EnergyTime::response_s(complete_s));
    let bins = super::whole((complete_s - late.start_s).max(0.0) / late.bin_s).min(all.bins());
    let error = |bands: Range<usize>| (0..bins).map(move |bin| error_db(all, bin, &bands));
    let error = CurveError {
        start_s: late.start_s + late.bin_s / 2.0,
        step_s: late.bin_s,
        level_db: error(EARLY_BANDS).collect(),
        band_level_db: std::array::from_fn(|band| error(band..band + 1).collect()),
    };
    EnergyTime { error: Some(error), ..EnergyTime::new(&response, &pair.early, complete_s) }
}

/// How a merged curve ends and what its noise is drawn from.
#[derive(Debug, Clone, Copy)]
pub(super) struct End<'a> {
    /// Decay curves, decibels.
    pub(super) curve_db: &'a PerBand<Vec<Estimate>>,
    /// How far down they are followed, decibels.
    pub(super) floor_db: f64,
    pub(super) seed: u64,
}

impl End<'_> {
    /// Bins until every band has fallen to the floor.
    fn bins(&self) -> usize {
        let fallen = |curve: &Vec<Estimate>| {
            curve.iter().position(|left| left.value < self.floor_db).unwrap_or(curve.len())
        };
        self.curve_db.iter().map(fallen).max().unwrap_or(0)
    }
}

/// Standard error of the energy in one bin over some bands, decibels; `None` where nothing arrives.
fn error_db(all: &Histogram, bin: usize, bands: &Range<usize>) -> Option<f64> {
    let (energy, error) = all.bin_over(bin, bands.clone());
    (energy > 0.0).then(|| 10.0 / LN_10 * error / energy)
}

/// What rays bring and what is deterministic, together in every batch.
pub(super) fn with_arrivals(rays: &Histogram, deterministic: &[PerBand<f64>]) -> Histogram {
    let mut all = rays.clone();
    for batch in &mut all.replicates {
        for (sum, energy) in batch.iter_mut().flatten().zip(deterministic.iter().flatten()) {
            *sum += energy;
        }
    }
    all
}

/// The arrivals of a list in bins of a length of path, the direct sound in the first.
pub(super) fn bin_arrivals(pair: &PairSimulation, bins: usize, bin_m: f64) -> Vec<PerBand<f64>> {
    let mut sums = vec![[0.0; BAND_COUNT]; bins];
    for arrival in &pair.arrivals {
        let after_m = (arrival.distance_m - pair.direct.distance_m).max(0.0);
        if let Some(sum) = sums.get_mut(super::whole(after_m / bin_m)) {
            for (sum, energy) in sum.iter_mut().zip(arrival.band_energy) {
                *sum += energy;
            }
        }
    }
    sums
}
