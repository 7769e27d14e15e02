//! Energy-time curves of whole responses: images, rays and the wave field as one.

use super::late::whole;
use super::request::RayRequest;
use super::result::{PairDecay, PairResponse, Simulation};
use crate::medium::bands::EARLY_BANDS;
use crate::metrics::decay::Estimate;
use crate::ray_tracing::Histogram;
use crate::response::LowFrequencyResponse;
use crate::response::{CurveError, EnergyTime, NoiseSeed};
use rayon::prelude::*;
use std::f64::consts::LN_10;
use std::ops::Range;

/// Longest curve, seconds: a room that rings on is shown well enough.
pub const LONGEST_CURVE_S: f64 = 1.0;

/// End of every pair's curve, seconds after emission: that of the images, or with rays the time at
/// which every band has fallen to the floor, at most [`LONGEST_CURVE_S`] and not before the images end.
pub(super) fn ends_s(simulation: &Simulation, rays: Option<&RayRequest>) -> Vec<f64> {
    let decay_of = |place: usize| simulation.decay.as_ref()?.pairs.get(place);
    let end_s = |place: usize, response: &PairResponse| {
        let images_s = response.early.window.from_s;
        match decay_of(place).zip(rays) {
            Some((decay, rays)) => {
                at_floor_s(decay, rays.floor_db).min(LONGEST_CURVE_S).max(images_s)
            }
            None => images_s,
        }
    };
    let pairs = simulation.pairs.iter().enumerate();
    pairs.map(|(place, pair)| pair.response.as_ref().map_or(0.0, |r| end_s(place, r))).collect()
}

/// Adds the curve of every pair, complete to its end. `low` is the wave field of the pairs in their
/// order, and `seed` that of the rays.
pub(super) fn draw(
    simulation: &mut Simulation,
    ends_s: &[f64],
    low: Option<&LowFrequencyResponse>,
    seed: u64,
) {
    let Simulation { pairs, decay, .. } = simulation;
    let decays = decay.as_ref().map_or(&[][..], |decay| &decay.pairs);
    pairs.par_iter_mut().zip(ends_s).enumerate().for_each(|(place, (pair, &end_s))| {
        let Some(response) = pair.response.as_mut() else { return };
        let early = &response.early;
        let Some(decay) = decays.get(place) else {
            response.energy_time = Some(EnergyTime::new(&early.response, early, end_s));
            return;
        };
        let noise = NoiseSeed::of_pair(seed, (decay.speaker, decay.listener), 0);
        let whole = early.with_late(&decay.late, EnergyTime::response_s(end_s), noise);
        let whole = low.map(|low| low.splice(place, &whole)).unwrap_or(whole);
        let error = Some(error(decay, end_s));
        let curve = EnergyTime::new(&whole, early, end_s).expecting(early, &decay.late);
        response.energy_time = Some(EnergyTime { error, ..curve });
    });
}

/// Time after emission at which the decay has fallen to the floor in every band, seconds.
pub(crate) fn at_floor_s(decay: &PairDecay, floor_db: f64) -> f64 {
    let fallen = |curve: &Vec<Estimate>| {
        curve.iter().position(|left| left.value < floor_db).unwrap_or(curve.len())
    };
    let bins = decay.curve_db.iter().map(fallen).max().unwrap_or(0);
    decay.late.start_s + bins as f64 * decay.late.bin_s
}

/// Standard error of the energy behind a curve.
fn error(decay: &PairDecay, end_s: f64) -> CurveError {
    let PairDecay { late, histogram, .. } = decay;
    let bins = whole((end_s - late.start_s).max(0.0) / late.bin_s).min(histogram.bins());
    let error = |bands: Range<usize>| (0..bins).map(move |bin| error_db(histogram, bin, &bands));
    CurveError {
        start_s: late.start_s + late.bin_s / 2.0,
        step_s: late.bin_s,
        level_db: error(EARLY_BANDS).collect(),
        band_level_db: std::array::from_fn(|band| error(band..band + 1).collect()),
    }
}

/// Standard error of the energy in one bin over some bands, decibels; `None` where nothing arrives.
fn error_db(histogram: &Histogram, bin: usize, bands: &Range<usize>) -> Option<f64> {
    let (energy, error) = histogram.bin_over(bin, bands.clone());
    (energy > 0.0).then(|| 10.0 / LN_10 * error / energy)
}
