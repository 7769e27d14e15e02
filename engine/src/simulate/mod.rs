//! Simulation of a scene: all that arrives at every listener from every speaker.
//!
//! [`simulate`] runs the stages in their one order: image sources give the list of reflections and the
//! early response, ray tracing the late energy and the decay, the wave field the bottom of the
//! response. A [`Request`] says which of them are wanted.

mod curve;
pub mod defaults;
mod early;
mod joined;
mod late;
mod request;
mod result;

pub use curve::LONGEST_CURVE_S;
pub(crate) use curve::at_floor_s;
pub use request::{
    Curve, MAX_ORDER, MAX_WINDOW_S, RayRequest, Request, ResponseRequest, SimulationError,
};
pub use result::{
    ArrivalEnergy, PairDecay, PairResponse, PairSimulation, RoomDecay, Simulation, SourceRays,
};

use crate::geometry::enclosure::Enclosure;
use crate::progress::{Progress, Stage};
use crate::response::ArrivalSet;
use crate::response::LowFrequencyResponse;
use crate::scene::{ListenerId, Scene, SpeakerId, Variant};
use crate::wave_field::{WaveFieldError, solve_wave_field};
use request::go_on;

/// Simulates a scene in one of its states.
///
/// # Errors
/// A request that names speakers or listeners the scene does not have, or asks for times or orders
/// that are not followed; and [`SimulationError::Interrupted`].
pub fn simulate(
    scene: &Scene,
    variant: &Variant<'_>,
    request: &Request,
    progress: &dyn Progress,
) -> Result<Simulation, SimulationError> {
    Ok(simulate_with(scene, variant, request, progress, |_, _| ())?.0)
}

/// As [`simulate`], and besides what `per_pair` makes of the arrivals behind each response and its
/// listener.
///
/// # Errors
/// As [`simulate`].
pub fn simulate_with<T: Send>(
    scene: &Scene,
    variant: &Variant<'_>,
    request: &Request,
    progress: &dyn Progress,
    per_pair: impl Fn(&ArrivalSet, ListenerId) -> T + Sync,
) -> Result<(Simulation, Vec<T>), SimulationError> {
    request.check(scene)?;
    progress.begin(Stage::Images, None);
    let enclosure = Enclosure::new(scene, variant);
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
        let low = low_response(&simulation, scene, variant, response, progress)?;
        let seed = response.rays.map_or(defaults::SEED, |rays| rays.seed);
        if let Some(low) = &low {
            joined::join(scene, &mut simulation, low, seed);
        }
        draw_curves(&mut simulation, response, low, seed);
    }
    if let Some(plan) = &request.wave_field {
        go_on(progress)?;
        let solved = solve_wave_field(scene, variant, plan, progress);
        if let Err(too_long @ WaveFieldError::TooLong { .. }) = solved {
            return Err(too_long.into());
        }
        simulation.wave_field = Some(solved);
    }
    Ok((simulation, made))
}

/// The wave field below the crossover, where there is a decay to join it to.
fn low_response(
    simulation: &Simulation,
    scene: &Scene,
    variant: &Variant<'_>,
    request: &ResponseRequest,
    progress: &dyn Progress,
) -> Result<Option<LowFrequencyResponse>, SimulationError> {
    if simulation.decay.is_none() || request.curve == Curve::Geometrical {
        return Ok(None);
    }
    go_on(progress)?;
    let pairs: Vec<(SpeakerId, ListenerId)> =
        simulation.pairs.iter().map(|pair| (pair.speaker, pair.listener)).collect();
    let ends_s = curve::ends_s(simulation, request.rays.as_ref());
    let duration_s = ends_s.into_iter().fold(0.0, f64::max);
    Ok(LowFrequencyResponse::new(scene, variant, &pairs, duration_s, progress)?)
}

/// Adds the energy-time curve of every pair, where it is wanted.
fn draw_curves(
    simulation: &mut Simulation,
    request: &ResponseRequest,
    low: Option<LowFrequencyResponse>,
    seed: u64,
) {
    if request.curve == Curve::Omitted {
        return;
    }
    let ends_s = curve::ends_s(simulation, request.rays.as_ref());
    curve::draw(simulation, &ends_s, low.as_ref(), seed);
    simulation.crossover_hz = low.map(|low| low.crossover_hz);
}
