//! From a scene to the impulse responses of every pair.

use super::diffuse_field::{DiffuseBinaural, velocity_channels};
use super::directional::EarlyDirectional;
use crate::medium::signal_chain::SignalChain;
use crate::progress::Progress;
use crate::response::LowFrequencyResponse;
use crate::response::{ImpulseResponse, NoiseSeed, SAMPLE_RATE_HZ};
use crate::scene::{ListenerId, Scene, SpeakerId, Variant};
use crate::simulate::defaults::EARLY_RESPONSE_S;
use crate::simulate::{
    Curve, PairDecay, PairSimulation, Request, ResponseRequest, Simulation, SimulationError,
    at_floor_s, simulate_with,
};
use rayon::prelude::*;
use std::f64::consts::FRAC_PI_2;

/// Impulse responses of every pair of a request, all of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct ImpulseResponseSet {
    /// Early sound and decay behind them. Its crossover is that of the impulse responses: `None` where
    /// rays were left out, or where the wave field says nothing.
    pub simulation: Simulation,
    /// In the order of the simulation's pairs.
    pub pairs: Vec<PairResponses>,
}

/// Impulse responses from one speaker to one listener, sampled at 48 kHz from [`PRE_ROLL_S`] before emission
/// on, relative to the speaker's own pressure at 1 m on axis in a free field where it plays unfiltered, with its
/// filters, level, delay, polarity and lower limit.
#[derive(Debug, Clone, PartialEq)]
pub struct PairResponses {
    /// The speaker.
    pub speaker: SpeakerId,
    /// The listener.
    pub listener: ListenerId,
    /// Arrival of the direct sound in the middle of the head, with the speaker's delay, samples from the first one.
    pub direct_sample: f64,
    /// At an omnidirectional microphone in the middle of the head, which is not there.
    pub omni: ImpulseResponse,
    /// At the left and the right ear of a spherical head.
    pub ears: [ImpulseResponse; 2],
    /// At a first-order microphone: `AmbiX` order (W, Y, Z, X) and normalisation (SN3D), X ahead,
    /// Y to the left and Z up as the listener faces.
    pub ambisonic: [ImpulseResponse; 4],
}

impl PairResponses {
    /// Travel time of the direct sound and the speaker's delay, seconds.
    pub fn direct_s(&self) -> f64 {
        self.direct_sample / SAMPLE_RATE_HZ - PRE_ROLL_S
    }

    /// As a speaker's signal chain leaves them.
    fn driven(self, chain: &SignalChain) -> Self {
        Self {
            direct_sample: self.direct_sample + 1e-3 * chain.delay_ms * SAMPLE_RATE_HZ,
            omni: self.omni.driven(chain),
            ears: self.ears.map(|ear| ear.driven(chain)),
            ambisonic: self.ambisonic.map(|channel| channel.driven(chain)),
            ..self
        }
    }
}

/// The channels of [`PairResponses::ambisonic`].
pub const AMBISONIC: [&str; 4] = ["W", "Y", "Z", "X"];

/// Responses are no longer than this, seconds.
pub const LONGEST_S: f64 = 6.0;

/// Responses begin so long before emission, seconds. An arrival whose level changes from octave to octave
/// rings a little before it comes, as every sound of bounded bandwidth does; with less of a lead, early
/// arrivals would lose some of their lowest octaves to the beginning.
pub const PRE_ROLL_S: f64 = 0.1;

/// The end of a response fades over this, seconds: a cut would click.
const FADE_S: f64 = 0.02;

/// Impulse responses of every pair of a request.
///
/// They are built from its early response and rays; its curves and wave field are left out. Without
/// rays they lack all that no image brings, and the wave field, which holds the whole of the bass.
///
/// # Errors
/// As [`crate::simulate::simulate`].
pub fn auralize(
    scene: &Scene,
    variant: &Variant<'_>,
    request: &Request,
    progress: &dyn Progress,
) -> Result<ImpulseResponseSet, SimulationError> {
    let wanted = request.response.unwrap_or(ResponseRequest::early(EARLY_RESPONSE_S));
    let rays = wanted.rays.unwrap_or_default();
    let response = Some(ResponseRequest { curve: Curve::Omitted, ..wanted });
    let request = Request { response, wave_field: None, ..request.clone() };
    let (mut simulation, directional) =
        simulate_with(scene, variant, &request, progress, |arrivals, listener| {
            EarlyDirectional::new(arrivals, &scene[listener], PRE_ROLL_S)
        })?;
    let Simulation { speed_of_sound_m_s, .. } = simulation;
    let of_pair = |index: usize| simulation.decay.as_ref().and_then(|decay| decay.pairs.get(index));
    let ends = simulation.pairs.iter().enumerate();
    let ends = ends.map(|(index, pair)| end_s(pair, of_pair(index), rays.floor_db));
    let duration_s = ends.fold(0.0, f64::max).min(LONGEST_S);
    let head = DiffuseBinaural::new(speed_of_sound_m_s);
    let low = match simulation.decay {
        Some(_) => {
            let places: Vec<(SpeakerId, ListenerId)> =
                simulation.pairs.iter().map(|p| (p.speaker, p.listener)).collect();
            LowFrequencyResponse::first_order(
                scene,
                variant,
                &places,
                PRE_ROLL_S + duration_s,
                progress,
            )?
            .map(|low| low.delayed(PRE_ROLL_S))
        }
        None => None,
    };
    let pairs = simulation
        .pairs
        .par_iter()
        .zip(directional)
        .enumerate()
        .map(|(index, (pair, directional))| {
            let whole = ResponseAssembler { seed: rays.seed, duration_s, head: &head };
            let bass = low.as_ref().map(|low| (low, index));
            let plain = whole.pair(pair, directional, of_pair(index), bass, speed_of_sound_m_s);
            plain.driven(&scene[pair.speaker].chain)
        })
        .collect();
    simulation.crossover_hz = low.as_ref().map(|low| low.crossover_hz);
    Ok(ImpulseResponseSet { simulation, pairs })
}

/// Time at which all that arrives has fallen to the floor, seconds after emission.
fn end_s(pair: &PairSimulation, decay: Option<&PairDecay>, floor_db: f64) -> f64 {
    let early = pair.response.as_ref().map_or(0.0, |r| r.early.response.duration_s());
    decay.map_or(early, |decay| early.max(at_floor_s(decay, floor_db)))
}

/// Assembly of early and late sound.
struct ResponseAssembler<'a> {
    seed: u64,
    duration_s: f64,
    head: &'a DiffuseBinaural,
}

impl ResponseAssembler<'_> {
    fn pair(
        &self,
        pair: &PairSimulation,
        EarlyDirectional { mut omni, mut ears, mut first_order }: EarlyDirectional,
        decay: Option<&PairDecay>,
        bass: Option<(&LowFrequencyResponse, usize)>,
        speed_of_sound_m_s: f64,
    ) -> PairResponses {
        let draw = |channel| NoiseSeed::of_pair(self.seed, (pair.speaker, pair.listener), channel);
        if let Some(PairDecay { late, .. }) = decay {
            [omni] = added(&[omni], &[late.noise(self.duration_s, draw(0))]);
            // What both ears have in common is the noise of the microphone between them.
            let noises = self.head.ears(late, self.duration_s, [draw(0), draw(1)]);
            ears = added(&ears, &noises);
            let noises = velocity_channels(late, self.duration_s, [draw(2), draw(3), draw(4)]);
            first_order = added(&first_order, &noises);
        }
        if let Some((deep, place)) = bass {
            // Long against a head, the bass is nearly the same at its ears and in its middle.
            ears = ears.map(|ear| deep.splice(4 * place, &ear));
            omni = deep.splice(4 * place, &omni);
            let mut axis = 4 * place;
            first_order = first_order.map(|response| {
                axis += 1;
                deep.splice(axis, &response)
            });
        }
        let omni = self.ended(omni);
        let [y, z, x] = first_order.map(|axis| self.ended(axis));
        PairResponses {
            speaker: pair.speaker,
            listener: pair.listener,
            direct_sample: (PRE_ROLL_S + pair.direct.distance_m / speed_of_sound_m_s)
                * SAMPLE_RATE_HZ,
            ambisonic: [omni.clone(), y, z, x],
            ears: ears.map(|ear| self.ended(ear)),
            omni,
        }
    }

    /// Cut or filled up to the common length, and faded out.
    fn ended(&self, mut response: ImpulseResponse) -> ImpulseResponse {
        let count = |time_s: f64| crate::response::samples(time_s);
        response.samples.resize(count(PRE_ROLL_S + self.duration_s), 0.0);
        let fade = count(FADE_S);
        for (from_end, sample) in response.samples.iter_mut().rev().take(fade).enumerate() {
            *sample *= (FRAC_PI_2 * from_end as f64 / fade as f64).sin().powi(2);
        }
        response
    }
}

/// Arrivals, which begin with the lead, and noises, which begin with emission.
fn added<const N: usize>(
    arrivals: &[ImpulseResponse; N],
    noises: &[ImpulseResponse; N],
) -> [ImpulseResponse; N] {
    let lead = crate::response::samples(PRE_ROLL_S);
    std::array::from_fn(|i| arrivals[i].plus(&noises[i].later(lead)))
}
