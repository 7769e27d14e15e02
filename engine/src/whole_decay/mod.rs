//! The whole decay at every seat: the list of images as far as it goes, rays for all the rest.

mod merge;

pub use merge::{LONGEST_CURVE_S, noise_seed, response};

use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::PerBand;
use crate::medium::directivity::{Directivity, Radiator};
use crate::metrics::decay::{Estimate, MetricInputs, Metrics, Replicates, Truncation, Unavailable};
use crate::ray_tracing::{
    EnergyBalance, Histogram, RayCount, RayPlan, Receiver, Source, trace_rays,
};
use crate::response::LowFrequencyResponse;
use crate::response::{EnergyTime, LateEnergy};
use crate::scene::{Scene, Variant};
use crate::trace::{PairSimulation, Simulation};
use rayon::prelude::*;

/// The whole decay of every pair of a trace, and what the rays of each speaker did.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomDecay {
    /// In the order of [`Simulation::pairs`].
    pub pairs: Vec<PairDecay>,
    /// One entry for each speaker of the trace, in the order they first appear there.
    pub speakers: Vec<SourceRays>,
}

/// The decay of one speaker at one listener.
#[derive(Debug, Clone, PartialEq)]
pub struct PairDecay {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// Figures per band, each with its standard error or the reason it is missing.
    pub metrics: PerBand<Metrics<Result<Estimate, Unavailable>>>,
    /// Width of a bin of the decay curves, seconds.
    pub bin_s: f64,
    /// Decay curve (backward integral) per band at every edge between bins, decibels relative to
    /// the first; empty where nothing arrives.
    pub curve_db: PerBand<Vec<Estimate>>,
    /// Energy against time, complete: single arrivals, and noise that carries the energy of the
    /// rays.
    pub energy_time: EnergyTime,
    /// The energy behind that noise.
    pub late: LateEnergy,
    /// Energy in even bins from the direct sound on, arrivals and rays together, batch by batch:
    /// arrivals are the same in each.
    pub histogram: Histogram,
}

/// What the rays of one speaker did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourceRays {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Rays followed.
    pub rays: u64,
    /// Where their energy went.
    pub balance: EnergyBalance,
}

/// A decay is followed to this level unless something else is asked for, decibels.
pub const FLOOR_DB: f64 = -60.0;

/// Rays are followed further than the decay by this much, decibels, so that it is smooth to its end.
const MARGIN_DB: f64 = 5.0;

/// Width of a bin, seconds.
const BIN_S: f64 = 1e-3;

/// Longest decay followed, seconds; most rays have died away long before.
const LENGTH_S: f64 = 6.0;

/// A plan that follows rays until the decay has fallen to `floor_db`, say [`FLOOR_DB`].
pub fn ray_plan(count: RayCount, seed: u64, floor_db: f64) -> RayPlan {
    RayPlan { count, seed, length_s: LENGTH_S, bin_s: BIN_S, floor_db: floor_db - MARGIN_DB }
}

/// Follows rays from every speaker of a trace to all its listeners and reads every decay.
///
/// `variant` and `traced` are those of one call of [`crate::trace::trace`]. `progress` is told, from
/// any thread, how many more rays are done.
pub fn whole_decay(
    scene: &Scene,
    variant: &Variant<'_>,
    traced: &Simulation,
    plan: &RayPlan,
    progress: &(dyn Fn(u64) + Sync),
) -> RoomDecay {
    let enclosure = Enclosure::new(scene, variant);
    let mut order: Vec<usize> = Vec::new();
    for pair in &traced.pairs {
        if !order.contains(&pair.speaker) {
            order.push(pair.speaker);
        }
    }
    let mut pairs: Vec<Option<PairDecay>> = traced.pairs.iter().map(|_| None).collect();
    let mut speakers = Vec::new();
    for index in order {
        let speaker = &scene.speakers()[index];
        let radiator =
            Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
        let source = Source { at: speaker.at, axis: speaker.axis, radiator: &radiator };
        let of_speaker = || traced.pairs.iter().enumerate().filter(|(_, p)| p.speaker == index);
        let receivers: Vec<Receiver> = of_speaker()
            .map(|(_, pair)| Receiver {
                at: scene.listeners()[pair.listener].at,
                direct_m: pair.direct.distance_m,
                coverage: pair.coverage,
            })
            .collect();
        let followed = trace_rays(scene, &enclosure, source, &receivers, plan, progress);
        let here: Vec<(usize, &PairSimulation)> = of_speaker().collect();
        let read = here
            .par_iter()
            .zip(&followed.histograms)
            .map(|(&(place, pair), rays)| (place, read(scene, traced, pair, rays, plan)))
            .collect::<Vec<_>>();
        for (place, decay) in read {
            pairs[place] = Some(decay);
        }
        speakers.push(SourceRays {
            speaker: index,
            rays: followed.rays,
            balance: followed.balance,
        });
    }
    RoomDecay { pairs: pairs.into_iter().flatten().collect(), speakers }
}

impl Simulation {
    /// The same trace with complete energy-time curves in place of those of its arrivals alone.
    #[must_use]
    pub fn completed_by(mut self, decay: &RoomDecay) -> Self {
        for (pair, decay) in self.pairs.iter_mut().zip(&decay.pairs) {
            pair.energy_time.clone_from(&decay.energy_time);
        }
        self
    }
}

/// The same trace with the wave field at the bottom of every response: its energy-time curves are those
/// of [`LowFrequencyResponse`] below its crossover and of arrivals and rays above. Decay figures stay those of the rays.
///
/// `decay` and `seed` are those of one call of [`whole_decay`] for this trace, and `deep` was made for
/// its pairs in their order.
#[must_use]
pub fn crossed_over(
    mut traced: Simulation,
    decay: &RoomDecay,
    deep: &LowFrequencyResponse,
    seed: u64,
) -> Simulation {
    let pairs = traced.pairs.par_iter_mut().zip(&decay.pairs).enumerate();
    pairs.for_each(|(place, (pair, decay))| {
        let complete_s = pair.energy_time.complete_s;
        let own = response(pair, &decay.late, seed, EnergyTime::response_s(complete_s));
        let whole = deep.splice(place, &own);
        let error = pair.energy_time.error.take();
        pair.energy_time = EnergyTime { error, ..EnergyTime::new(&whole, &pair.early, complete_s) };
    });
    traced
}

/// Reads one decay, band by band.
fn read(
    scene: &Scene,
    traced: &Simulation,
    pair: &PairSimulation,
    rays: &Histogram,
    plan: &RayPlan,
) -> PairDecay {
    let (speed, bin_s) = (traced.speed_of_sound_m_s, rays.bin_s);
    let deterministic = merge::bin_arrivals(pair, rays.bins(), bin_s * speed);
    let direct = pair.arrivals.first().filter(|a| a.distance_m <= pair.direct.distance_m);
    let omnidirectional = scene.speakers()[pair.speaker].directivity == Directivity::Omni;
    let mut curve_db: PerBand<Vec<Estimate>> = std::array::from_fn(|_| Vec::new());
    let metrics = std::array::from_fn(|band| {
        let of_band = |bins: &[PerBand<f64>]| bins.iter().map(|bin| bin[band]).collect::<Vec<_>>();
        let deterministic = of_band(&deterministic);
        let batches: Vec<Vec<f64>> = rays.replicates.iter().map(|b| of_band(b)).collect();
        let batches: Vec<&[f64]> = batches.iter().map(Vec::as_slice).collect();
        let mut replicates = Replicates {
            bin_s,
            deterministic: &deterministic,
            batches: &batches,
            truncation: Truncation::Complete,
        };
        if !has_died_away(&replicates.decay().energy) {
            replicates.truncation = Truncation::EstimatedTail;
        }
        let inputs = MetricInputs::new(direct.map_or(0.0, |a| a.band_energy[band]));
        let inputs = if omnidirectional { inputs.omnidirectional() } else { inputs };
        curve_db[band] = replicates.curve_db().unwrap_or_default();
        replicates.metrics(&inputs)
    });
    let late = merge::late(pair, rays, speed);
    let floor_db = plan.floor_db + MARGIN_DB;
    let end = merge::End { curve_db: &curve_db, floor_db, seed: plan.seed };
    let histogram = merge::with_arrivals(rays, &deterministic);
    let energy_time = merge::energy_time(pair, &late, &histogram, &end);
    let (speaker, listener) = (pair.speaker, pair.listener);
    PairDecay { speaker, listener, metrics, bin_s, curve_db, energy_time, late, histogram }
}

/// Whether the last tenth of a decay holds so little of its energy that what follows changes no
/// figure: less than lies 10 dB below the lowest range that is read, −35 dB.
fn has_died_away(energy: &[f64]) -> bool {
    let last: f64 = energy.iter().skip(energy.len() * 9 / 10).sum();
    last < 10f64.powf(-4.5) * energy.iter().sum::<f64>()
}

/// The whole number below a number of steps that is not negative.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "never negative, and a path is a few hundred metres at most"
)]
fn whole(steps: f64) -> usize {
    steps as usize
}
