//! Results of a simulation.

use crate::image_source::{Arrival, Direct, Reflection};
use crate::medium::bands::PerBand;
use crate::metrics::decay::{Estimate, Metrics, Unavailable};
use crate::ray_tracing::{EnergyBalance, Histogram, ImageCoverage};
use crate::response::{EarlyResponse, EnergyTime, LateEnergy};
use crate::scene::{ListenerId, SpeakerId};
use crate::wave_field::{WaveField, WaveFieldError};

/// Results of a [`Request`](super::Request).
#[derive(Debug, Clone, PartialEq)]
pub struct Simulation {
    /// Speed of sound in metres a second.
    pub speed_of_sound_m_s: f64,
    /// Air attenuation in decibels a metre.
    pub attenuation_db_per_m: PerBand<f64>,
    /// For each listener of the request, each of its speakers.
    pub pairs: Vec<PairSimulation>,
    /// Decay at every seat, where rays were traced.
    pub decay: Option<RoomDecay>,
    /// Energy-time curves are those of the wave field below this frequency, hertz; `None` where they
    /// are those of geometrical acoustics throughout.
    pub crossover_hz: Option<f64>,
    /// Wave field at low frequencies, where requested, or the reason it cannot be solved.
    pub wave_field: Option<Result<WaveField, WaveFieldError>>,
}

/// Sound from one speaker at one listener.
#[derive(Debug, Clone, PartialEq)]
pub struct PairSimulation {
    /// The speaker.
    pub speaker: SpeakerId,
    /// The listener.
    pub listener: ListenerId,
    /// Direct sound.
    pub direct: Direct,
    /// Arrival of the direct sound, unobstructed: the reference of the reflections' levels.
    pub unobstructed: Arrival,
    /// Reflections sorted by time; those more than 60 dB below the direct sound in every band are
    /// left out.
    pub reflections: Vec<Reflection>,
    /// Response, where requested.
    pub response: Option<PairResponse>,
}

/// Response of one pair.
#[derive(Debug, Clone, PartialEq)]
pub struct PairResponse {
    /// Response of the images.
    pub early: EarlyResponse,
    /// Image paths among `arrivals`; all others are left to rays.
    pub coverage: ImageCoverage,
    /// Every arrival followed, the direct sound included, in order of time.
    pub arrivals: Vec<ArrivalEnergy>,
    /// Energy-time curve of the whole response, where requested.
    pub energy_time: Option<EnergyTime>,
}

/// Energy that arrives over one path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArrivalEnergy {
    /// Length of the path, metres.
    pub distance_m: f64,
    /// Energy per band, relative to the speaker's own at 1 m on axis in a free field.
    pub band_energy: PerBand<f64>,
}

/// Decay of every pair, and the energy balance of the rays of each speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomDecay {
    /// In the order of [`Simulation::pairs`].
    pub pairs: Vec<PairDecay>,
    /// One entry for each speaker, in the order they first appear there.
    pub speakers: Vec<SourceRays>,
}

/// Decay of one speaker's sound at one listener.
#[derive(Debug, Clone, PartialEq)]
pub struct PairDecay {
    /// The speaker.
    pub speaker: SpeakerId,
    /// The listener.
    pub listener: ListenerId,
    /// Metrics per band, each with its standard error or the reason it is missing.
    pub metrics: PerBand<Metrics<Result<Estimate, Unavailable>>>,
    /// Width of a bin of the decay curves, seconds.
    pub bin_s: f64,
    /// Schroeder curve per band at every edge between bins, decibels relative to the first; empty
    /// where nothing arrives.
    pub curve_db: PerBand<Vec<Estimate>>,
    /// Number of bands, from the lowest on, whose metrics and curve are those of the response in which the wave
    /// field is joined to images and rays; the others are those of images and rays.
    pub joined_bands: usize,
    /// Energy of the late part of the response.
    pub late: LateEnergy,
    /// Energy in even bins from the direct sound on, images and rays together, batch by batch:
    /// images are the same in each.
    pub histogram: Histogram,
}

/// Rays of one speaker.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourceRays {
    /// The speaker.
    pub speaker: SpeakerId,
    /// Rays followed.
    pub rays: u64,
    /// Their energy balance.
    pub balance: EnergyBalance,
}

impl Simulation {
    /// The pairs of one listener, without decay and wave field.
    #[must_use]
    pub fn at_listener(&self, listener: ListenerId) -> Self {
        let here = self.pairs.iter().filter(|pair| pair.listener == listener);
        Self {
            speed_of_sound_m_s: self.speed_of_sound_m_s,
            attenuation_db_per_m: self.attenuation_db_per_m,
            pairs: here.cloned().collect(),
            decay: None,
            crossover_hz: self.crossover_hz,
            wave_field: None,
        }
    }
}

impl PairSimulation {
    /// Energy-time curve, where requested.
    pub fn energy_time(&self) -> Option<&EnergyTime> {
        self.response.as_ref()?.energy_time.as_ref()
    }
}
