//! From a scene to the impulse responses of every pair.

use super::diffuse_field::{DiffuseBinaural, velocity_channels};
use super::directional::EarlyDirectional;
use crate::ray_tracing::RayCount;
use crate::response::LowFrequencyResponse;
use crate::response::{ImpulseResponse, SAMPLE_RATE_HZ};
use crate::scene::{Scene, Variant};
use crate::trace::{PairSimulation, Request, RequestError, Simulation, trace_and};
use crate::wave_field::WaveFieldError;
use crate::whole_decay::{PairDecay, RoomDecay, noise_seed, ray_plan, whole_decay};
use rayon::prelude::*;
use std::f64::consts::FRAC_PI_2;
use thiserror::Error;

/// What to make audible and how far.
#[derive(Debug, Clone, PartialEq)]
pub struct AuralizationPlan {
    /// Whom and how far to trace.
    pub trace: Request,
    /// How many rays to follow; `None` leaves out all that no single mirror path brings, and the wave
    /// field of the bass, which holds the whole of it.
    pub rays: Option<RayCount>,
    /// What random numbers begin from.
    pub seed: u64,
    /// Responses end where every band of every pair has fallen so far, decibels.
    pub floor_db: f64,
}

/// The responses of every pair of a plan, all of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct ImpulseResponseSet {
    /// What was traced.
    pub trace: Simulation,
    /// What the rays found, where there were any.
    pub decay: Option<RoomDecay>,
    /// Below this frequency, hertz, responses are those of the wave field; `None` where rays were left
    /// out, or where the wave field says nothing.
    pub crossover_hz: Option<f64>,
    /// In the order of the trace's pairs.
    pub pairs: Vec<PairResponses>,
}

/// Why a plan cannot be heard.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum AuralizationError {
    /// It cannot be traced.
    #[error(transparent)]
    Trace(#[from] RequestError),
    /// Its bass cannot be solved.
    #[error(transparent)]
    Bass(#[from] WaveFieldError),
}

/// What a click at one speaker leaves at one listener, sampled at 48 kHz from [`PRE_ROLL_S`] before emission on, relative
/// to the speaker's own pressure at 1 m on axis in a free field.
#[derive(Debug, Clone, PartialEq)]
pub struct PairResponses {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// When the direct sound arrives in the middle of the head, samples from the first one.
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
    /// How long the direct sound travels, seconds.
    pub fn direct_s(&self) -> f64 {
        self.direct_sample / SAMPLE_RATE_HZ - PRE_ROLL_S
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

/// Makes every pair of a plan audible. `progress` is told, from any thread, how many more rays are
/// done.
///
/// # Errors
/// As [`crate::trace::trace`] and [`LowFrequencyResponse::new`].
pub fn auralize(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &AuralizationPlan,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<ImpulseResponseSet, AuralizationError> {
    let (traced, directional) = trace_and(scene, variant, &plan.trace, |arrival_set, listener| {
        EarlyDirectional::new(arrival_set, &scene.listeners()[listener], PRE_ROLL_S)
    })?;
    let decay = plan.rays.map(|count| {
        let rays = ray_plan(count, plan.seed, plan.floor_db);
        whole_decay(scene, variant, &traced, &rays, progress)
    });
    let of_pair = |index: usize| decay.as_ref().and_then(|decay| decay.pairs.get(index));
    let ends = traced.pairs.iter().enumerate();
    let ends = ends.map(|(index, pair)| end_s(pair, of_pair(index), plan.floor_db));
    let duration_s = ends.fold(0.0, f64::max).min(LONGEST_S);
    let head = DiffuseBinaural::new(traced.speed_of_sound_m_s);
    let places: Vec<[usize; 2]> = traced.pairs.iter().map(|p| [p.speaker, p.listener]).collect();
    let deep = match decay {
        Some(_) => {
            LowFrequencyResponse::first_order(scene, variant, &places, PRE_ROLL_S + duration_s)?
                .map(|deep| deep.delayed(PRE_ROLL_S))
        }
        None => None,
    };
    let pairs = traced
        .pairs
        .par_iter()
        .zip(directional)
        .enumerate()
        .map(|(index, (pair, directional))| {
            let whole = ResponseAssembler { seed: plan.seed, duration_s, head: &head };
            let bass = deep.as_ref().map(|deep| (deep, index));
            whole.pair(pair, directional, of_pair(index), bass, traced.speed_of_sound_m_s)
        })
        .collect();
    let crossover_hz = deep.as_ref().map(|deep| deep.crossover_hz);
    Ok(ImpulseResponseSet { trace: traced, decay, crossover_hz, pairs })
}

/// When all that arrives has fallen to the floor, seconds after emission.
fn end_s(pair: &PairSimulation, decay: Option<&PairDecay>, floor_db: f64) -> f64 {
    let arrivals_s = pair.early.response.duration_s();
    decay.map_or(arrivals_s, |decay| {
        let fallen = decay.curve_db.iter().map(|curve| {
            curve.iter().position(|left| left.value < floor_db).unwrap_or(curve.len())
        });
        let bins = fallen.max().unwrap_or(0);
        arrivals_s.max(decay.late.start_s + bins as f64 * decay.bin_s)
    })
}

/// How arrivals and late sound become one.
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
        let draw = |channel: u8| noise_seed(pair, self.seed, channel);
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
