//! Decay at every seat: images as far as they are followed, rays for all the rest.

use super::request::{RayRequest, SimulationError, go_on};
use super::result::{PairDecay, PairResponse, PairSimulation, RoomDecay, Simulation, SourceRays};
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::medium::directivity::{Directivity, Radiator};
use crate::metrics::decay::{Estimate, MetricInputs, Metrics, Replicates, Truncation, Unavailable};
use crate::progress::Progress;
use crate::ray_tracing::{Histogram, Receiver, Source, trace_rays};
use crate::response::LateEnergy;
use crate::scene::{Scene, SpeakerId};
use rayon::prelude::*;

/// Traces rays from every speaker of the early sound to its listeners and evaluates every decay.
///
/// # Errors
/// [`SimulationError::Interrupted`].
pub(super) fn decay(
    scene: &Scene,
    enclosure: &Enclosure,
    early: &Simulation,
    request: &RayRequest,
    progress: &dyn Progress,
) -> Result<RoomDecay, SimulationError> {
    let pairs: Vec<EarlyPair> = early.pairs.iter().filter_map(EarlyPair::of).collect();
    let mut order: Vec<SpeakerId> = Vec::new();
    for EarlyPair { pair, .. } in &pairs {
        if !order.contains(&pair.speaker) {
            order.push(pair.speaker);
        }
    }
    let mut decays: Vec<Option<PairDecay>> = pairs.iter().map(|_| None).collect();
    let mut speakers = Vec::new();
    let plan = request.plan();
    for id in order {
        go_on(progress)?;
        let speaker = &scene[id];
        let radiator =
            Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
        let source = Source { at: speaker.at, axis: speaker.axis, radiator: &radiator };
        let here: Vec<(usize, &EarlyPair)> =
            pairs.iter().enumerate().filter(|(_, early)| early.pair.speaker == id).collect();
        let receivers: Vec<Receiver> = here
            .iter()
            .map(|(_, EarlyPair { pair, response })| Receiver {
                at: scene[pair.listener].at,
                direct_m: pair.direct.distance_m,
                coverage: response.coverage,
            })
            .collect();
        let traced = trace_rays(scene, enclosure, source, &receivers, &plan, &|more| {
            progress.advance(more);
        });
        let omnidirectional = speaker.directivity == Directivity::Omni;
        let evaluated: Vec<(usize, PairDecay)> = here
            .par_iter()
            .zip(&traced.histograms)
            .map(|(&(place, pair), rays)| {
                (place, pair.decay(rays, early.speed_of_sound_m_s, omnidirectional))
            })
            .collect();
        for (place, decay) in evaluated {
            decays[place] = Some(decay);
        }
        speakers.push(SourceRays { speaker: id, rays: traced.rays, balance: traced.balance });
    }
    Ok(RoomDecay { pairs: decays.into_iter().flatten().collect(), speakers })
}

/// A pair with its early response.
struct EarlyPair<'a> {
    pair: &'a PairSimulation,
    response: &'a PairResponse,
}

impl<'a> EarlyPair<'a> {
    fn of(pair: &'a PairSimulation) -> Option<Self> {
        Some(Self { pair, response: pair.response.as_ref()? })
    }

    /// Evaluates the decay band by band.
    fn decay(&self, rays: &Histogram, speed_m_s: f64, omnidirectional: bool) -> PairDecay {
        let bin_s = rays.bin_s;
        let deterministic = self.bin_arrivals(rays.bins(), bin_s * speed_m_s);
        let mut curve_db: PerBand<Vec<Estimate>> = std::array::from_fn(|_| Vec::new());
        let metrics = std::array::from_fn(|band| {
            let of_band =
                |bins: &[PerBand<f64>]| bins.iter().map(|bin| bin[band]).collect::<Vec<_>>();
            let deterministic = of_band(&deterministic);
            let batches: Vec<Vec<f64>> = rays.replicates.iter().map(|b| of_band(b)).collect();
            let batches: Vec<&[f64]> = batches.iter().map(Vec::as_slice).collect();
            let inputs = metric_inputs(self.pair, band, omnidirectional);
            let evaluated = EvaluatedBand::new(bin_s, &deterministic, &batches, &inputs);
            curve_db[band] = evaluated.curve_db;
            evaluated.metrics
        });
        PairDecay {
            speaker: self.pair.speaker,
            listener: self.pair.listener,
            metrics,
            bin_s,
            curve_db,
            joined_bands: 0,
            late: self.late_energy(rays, speed_m_s),
            histogram: with_arrivals(rays, &deterministic),
        }
    }

    /// Energy without an arrival in the early response: that of the rays, and what the response loses
    /// of its last arrivals as they fade out.
    fn late_energy(&self, rays: &Histogram, speed_m_s: f64) -> LateEnergy {
        let mut bins: Vec<PerBand<f64>> = (0..rays.bins()).map(|bin| rays.bin(bin).0).collect();
        let bin_m = rays.bin_s * speed_m_s;
        let direct_m = self.pair.direct.distance_m;
        for arrival in &self.response.arrivals {
            let window = self.response.early.window;
            let kept = window.weight(arrival.distance_m / speed_m_s).powi(2);
            let after_m = (arrival.distance_m - direct_m).max(0.0);
            if let Some(bin) = bins.get_mut(whole(after_m / bin_m)).filter(|_| kept < 1.0) {
                for (sum, energy) in bin.iter_mut().zip(arrival.band_energy) {
                    *sum += (1.0 - kept) * energy;
                }
            }
        }
        LateEnergy { start_s: direct_m / speed_m_s, bin_s: rays.bin_s, bins }
    }

    /// Energy of the arrivals in bins of a length of path, the direct sound in the first.
    fn bin_arrivals(&self, bins: usize, bin_m: f64) -> Vec<PerBand<f64>> {
        let mut sums = vec![[0.0; BAND_COUNT]; bins];
        for arrival in &self.response.arrivals {
            let after_m = (arrival.distance_m - self.pair.direct.distance_m).max(0.0);
            if let Some(sum) = sums.get_mut(whole(after_m / bin_m)) {
                for (sum, energy) in sum.iter_mut().zip(arrival.band_energy) {
                    *sum += energy;
                }
            }
        }
        sums
    }
}

/// Inputs of the metrics of a pair in a band; no direct sound where it is blocked.
pub(super) fn metric_inputs(
    pair: &PairSimulation,
    band: usize,
    omnidirectional: bool,
) -> MetricInputs {
    let arrivals = pair.response.as_ref().map_or(&[][..], |response| &response.arrivals);
    let direct = arrivals.first().filter(|a| a.distance_m <= pair.direct.distance_m);
    let inputs = MetricInputs::new(direct.map_or(0.0, |direct| direct.band_energy[band]));
    if omnidirectional { inputs.omnidirectional() } else { inputs }
}

/// Metrics and Schroeder curve of one band.
pub(super) struct EvaluatedBand {
    pub(super) metrics: Metrics<Result<Estimate, Unavailable>>,
    pub(super) curve_db: Vec<Estimate>,
}

impl EvaluatedBand {
    /// From energy in even bins, its deterministic part and independent estimates of the rest; the tail is
    /// estimated where the bins end before the sound has died away.
    pub(super) fn new(
        bin_s: f64,
        deterministic: &[f64],
        batches: &[&[f64]],
        inputs: &MetricInputs,
    ) -> Self {
        let truncation = Truncation::Complete;
        let mut replicates = Replicates { bin_s, deterministic, batches, truncation };
        if !has_died_away(&replicates.decay().energy) {
            replicates.truncation = Truncation::EstimatedTail;
        }
        Self {
            metrics: replicates.metrics(inputs),
            curve_db: replicates.curve_db().unwrap_or_default(),
        }
    }
}

/// Histogram of the rays with the deterministic energy of the images in every batch.
fn with_arrivals(rays: &Histogram, deterministic: &[PerBand<f64>]) -> Histogram {
    let mut all = rays.clone();
    for batch in &mut all.replicates {
        for (sum, energy) in batch.iter_mut().flatten().zip(deterministic.iter().flatten()) {
            *sum += energy;
        }
    }
    all
}

/// Whether the last tenth of a decay holds so little of its energy that what follows changes no
/// metric: less than lies 10 dB below the lowest range that is evaluated, −35 dB.
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
pub(super) fn whole(steps: f64) -> usize {
    steps as usize
}
