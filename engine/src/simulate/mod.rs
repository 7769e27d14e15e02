//! Simulation of a scene: all that arrives at every listener from every speaker.
//!
//! [`simulate`] runs the stages in their one order: image sources give the list of reflections and the
//! early response, ray tracing the late energy and the decay, the wave field the bottom of the
//! response. A [`Request`] says which of them are wanted.

mod curve;
pub mod defaults;
mod early;
mod late;
mod progress;
mod request;

pub use curve::LONGEST_CURVE_S;
pub(crate) use curve::at_floor_s;
pub use late::{PairDecay, RoomDecay, SourceRays};
pub use progress::{Progress, Stage};
pub use request::{
    Curve, MAX_ORDER, MAX_WINDOW_S, RayRequest, Request, ResponseRequest, SimulationError,
};

use crate::geometry::enclosure::Enclosure;
use crate::image_source::{Arrival, Direct, Reflection};
use crate::medium::bands::PerBand;
use crate::ray_tracing::ImageCoverage;
use crate::response::{ArrivalSet, EarlyResponse, EnergyTime};
use crate::scene::{Scene, State};
use crate::wave_field::{Bass, BassError, Deep, bass};

/// Results of a [`Request`].
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
    /// Wave field at low frequencies, where it was asked for, or the reason it cannot be solved.
    pub wave_field: Option<Result<Bass, BassError>>,
}

/// Sound from one speaker at one listener.
#[derive(Debug, Clone, PartialEq)]
pub struct PairSimulation {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// Direct sound.
    pub direct: Direct,
    /// Arrival of the direct sound, unobstructed: the reference of the reflections' levels.
    pub unobstructed: Arrival,
    /// Reflections sorted by time; those more than 60 dB below the direct sound in every band are
    /// left out.
    pub reflections: Vec<Reflection>,
    /// Response, where it was asked for.
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
    /// Energy-time curve of the whole response, where it was asked for.
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

/// Simulates a scene in one of its states.
///
/// # Errors
/// A request that names speakers or listeners the scene does not have, or asks for times or orders
/// that are not followed; and [`SimulationError::Interrupted`].
pub fn simulate(
    scene: &Scene,
    state: &State,
    request: &Request,
    progress: &dyn Progress,
) -> Result<Simulation, SimulationError> {
    Ok(simulate_with(scene, state, request, progress, |_, _| ())?.0)
}

/// As [`simulate`], and besides what `per_pair` makes of the arrivals behind each response and the
/// index of its listener.
///
/// # Errors
/// As [`simulate`].
pub fn simulate_with<T: Send>(
    scene: &Scene,
    state: &State,
    request: &Request,
    progress: &dyn Progress,
    per_pair: impl Fn(&ArrivalSet, usize) -> T + Sync,
) -> Result<(Simulation, Vec<T>), SimulationError> {
    request.check(scene)?;
    progress.begin(Stage::Images, None);
    let enclosure = Enclosure::new(scene, state);
    let (pairs, made) = early::early_sound(scene, &enclosure, request, &per_pair);
    let mut simulation = Simulation {
        speed_of_sound_m_s: enclosure.speed_of_sound_m_s(),
        attenuation_db_per_m: enclosure.attenuation_db_per_m(),
        pairs,
        decay: None,
        crossover_hz: None,
        wave_field: None,
    };
    if let Some(response) = &request.response {
        if let Some(rays) = &response.rays {
            progress.begin(Stage::Rays, rays.total(request.speakers.len()));
            let decay = late::decay(scene, &enclosure, &simulation, rays, progress)?;
            simulation.decay = Some(decay);
        }
        simulation.draw_curves(scene, state, response, progress)?;
    }
    if let Some(plan) = &request.wave_field {
        go_on(progress)?;
        progress.begin(Stage::WaveField, None);
        simulation.wave_field = Some(bass(scene, state, plan));
    }
    Ok((simulation, made))
}

/// # Errors
/// The simulation shall not go on.
fn go_on(progress: &dyn Progress) -> Result<(), SimulationError> {
    if progress.should_continue() { Ok(()) } else { Err(SimulationError::Interrupted) }
}

impl Simulation {
    /// Adds the energy-time curve of every pair.
    fn draw_curves(
        &mut self,
        scene: &Scene,
        state: &State<'_>,
        request: &ResponseRequest,
        progress: &dyn Progress,
    ) -> Result<(), SimulationError> {
        if request.curve == Curve::Omitted {
            return Ok(());
        }
        let ends_s = curve::ends_s(self, request.rays.as_ref());
        let low = match (request.curve, &self.decay) {
            (Curve::CrossedOver, Some(_)) => {
                go_on(progress)?;
                progress.begin(Stage::WaveField, None);
                let pairs: Vec<[usize; 2]> =
                    self.pairs.iter().map(|pair| [pair.speaker, pair.listener]).collect();
                Deep::new(scene, state, &pairs, ends_s.iter().copied().fold(0.0, f64::max))?
            }
            _ => None,
        };
        let seed = request.rays.map_or(defaults::SEED, |rays| rays.seed);
        curve::draw(self, &ends_s, low.as_ref(), seed);
        self.crossover_hz = low.map(|low| low.crossover_hz);
        Ok(())
    }

    /// The pairs of one listener, without decay and wave field.
    #[must_use]
    pub fn at_listener(&self, listener: usize) -> Self {
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
    /// Energy-time curve, where it was asked for.
    pub fn energy_time(&self) -> Option<&EnergyTime> {
        self.response.as_ref()?.energy_time.as_ref()
    }
}
