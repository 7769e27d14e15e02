//! Request of a simulation, and the reasons it may fail.

use super::defaults;
use crate::progress::Progress;
use crate::ray_tracing::{RayCount, RayPlan};
use crate::scene::{ListenerId, Scene, SpeakerId};
use crate::wave_field::{WaveFieldError, WaveFieldRequest};
use thiserror::Error;

/// Results wanted of a simulation. Nothing else is computed.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// The speakers.
    pub speakers: Vec<SpeakerId>,
    /// The listeners.
    pub listeners: Vec<ListenerId>,
    /// Highest image order in the list of reflections.
    pub order: usize,
    /// Length of the list of reflections after the direct sound, seconds. It does not lengthen the
    /// response, which in a small room may end sooner.
    pub window_s: f64,
    /// Response of every pair, besides the list.
    pub response: Option<ResponseRequest>,
    /// Wave field at low frequencies, for `earline bass` and the pages that show it.
    pub wave_field: Option<WaveFieldRequest>,
}

/// Response of a pair: images early, rays late, the wave field at its bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResponseRequest {
    /// Images of every order are followed for so long after the direct sound, seconds, or as far as
    /// can be afforded.
    pub early_s: f64,
    /// Ray tracing for the decay, and for all that comes after the images.
    pub rays: Option<RayRequest>,
    /// The energy-time curve.
    pub curve: Curve,
}

/// Makeup of an energy-time curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Curve {
    /// No curve; the decay is that of [`Curve::CrossedOver`].
    Omitted,
    /// Geometrical acoustics in every band: images, and rays where they are traced; in the decay too.
    Geometrical,
    /// Geometrical acoustics above the crossover, the wave field below, in curve and decay. Without rays it is
    /// [`Curve::Geometrical`], since the wave field holds the whole decay.
    #[default]
    CrossedOver,
}

/// Ray tracing as far as a decay needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RayRequest {
    /// Number of rays from each source.
    pub count: RayCount,
    /// Seed of the random numbers; the same seed gives the same result.
    pub seed: u64,
    /// Level down to which the decay is followed, decibels.
    pub floor_db: f64,
}

/// Reason a simulation fails.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum SimulationError {
    /// The request names a speaker the scene does not have.
    #[error("the scene has {have} speakers; the plan asks for number {index}")]
    NoSuchSpeaker {
        /// Index in the request.
        index: usize,
        /// Number of speakers.
        have: usize,
    },
    /// The request names a listener the scene does not have.
    #[error("the scene has {have} listeners; the plan asks for number {index}")]
    NoSuchListener {
        /// Index in the request.
        index: usize,
        /// Number of listeners.
        have: usize,
    },
    /// A time of the request is negative, not finite or absurd.
    #[error("a window of {seconds} s cannot be traced; between 0 and {MAX_WINDOW_S} s can")]
    Window {
        /// Time in the request, seconds.
        seconds: f64,
    },
    /// The order is beyond what is enumerated.
    #[error("order {order} cannot be traced; up to {MAX_ORDER} can")]
    Order {
        /// Order in the request.
        order: usize,
    },
    /// The wave field under the responses cannot be solved.
    #[error(transparent)]
    WaveField(#[from] WaveFieldError),
    /// [`Progress::should_continue`] said no.
    #[error("interrupted")]
    Interrupted,
}

/// # Errors
/// The simulation shall not go on.
pub(super) fn go_on(progress: &dyn Progress) -> Result<(), SimulationError> {
    if progress.should_continue() { Ok(()) } else { Err(SimulationError::Interrupted) }
}

/// Longest window of a list or response, seconds.
pub const MAX_WINDOW_S: f64 = 1.0;

/// Highest order of a list.
pub const MAX_ORDER: usize = 8;

/// Rays are followed further than the decay by this much, decibels, so that it is smooth to its end.
const MARGIN_DB: f64 = 5.0;

/// Width of a bin of energy, seconds.
const BIN_S: f64 = 1e-3;

/// Longest decay followed, seconds; most rays have died away long before.
const LENGTH_S: f64 = 6.0;

impl Request {
    /// The list of reflections alone, of the default order and length.
    pub fn list(speakers: Vec<SpeakerId>, listeners: Vec<ListenerId>) -> Self {
        Self {
            speakers,
            listeners,
            order: usize::from(defaults::ORDER),
            window_s: defaults::WINDOW_S,
            response: None,
            wave_field: None,
        }
    }

    /// List and early response of every speaker at every listener.
    pub fn everything(scene: &Scene) -> Self {
        Self {
            response: Some(ResponseRequest::early(defaults::EARLY_RESPONSE_S)),
            ..Self::list(scene.speaker_ids().collect(), scene.listener_ids().collect())
        }
    }

    /// The request with rays after the images, where there is a response.
    #[must_use]
    pub fn with_rays(self, rays: RayRequest) -> Self {
        let response = self.response.map(|early| ResponseRequest { rays: Some(rays), ..early });
        Self { response, ..self }
    }

    /// # Errors
    /// The first reason why the scene has no answer to it.
    pub(super) fn check(&self, scene: &Scene) -> Result<(), SimulationError> {
        if let Some(id) = self.speakers.iter().find(|&&id| scene.speaker(id).is_none()) {
            let have = scene.speakers().len();
            return Err(SimulationError::NoSuchSpeaker { index: id.index(), have });
        }
        if let Some(id) = self.listeners.iter().find(|&&id| scene.listener(id).is_none()) {
            let have = scene.listeners().len();
            return Err(SimulationError::NoSuchListener { index: id.index(), have });
        }
        let mut times_s = [self.window_s, self.response.map_or(0.0, |r| r.early_s)].into_iter();
        if let Some(seconds) = times_s.find(|s| !(0.0..=MAX_WINDOW_S).contains(s)) {
            return Err(SimulationError::Window { seconds });
        }
        if self.order > MAX_ORDER {
            return Err(SimulationError::Order { order: self.order });
        }
        Ok(())
    }
}

impl ResponseRequest {
    /// Images alone, with their curve.
    pub fn early(early_s: f64) -> Self {
        Self { early_s, rays: None, curve: Curve::default() }
    }
}

impl Default for RayRequest {
    fn default() -> Self {
        Self {
            count: RayCount::Fixed(defaults::RAYS),
            seed: defaults::SEED,
            floor_db: defaults::FLOOR_DB,
        }
    }
}

impl RayRequest {
    /// A fixed number of rays from each source, with the default seed and floor.
    pub fn fixed(rays: u64) -> Self {
        Self { count: RayCount::Fixed(rays), ..Self::default() }
    }

    /// Rays that follow the decay to its floor.
    pub(super) fn plan(&self) -> RayPlan {
        RayPlan {
            count: self.count,
            seed: self.seed,
            length_s: LENGTH_S,
            bin_s: BIN_S,
            floor_db: self.floor_db - MARGIN_DB,
        }
    }

    /// Number of rays of all sources; `None` where their number follows from an error.
    pub(super) fn total(&self, sources: usize) -> Option<u64> {
        match self.count {
            RayCount::Fixed(rays) => Some(rays * sources as u64),
            RayCount::Until { .. } => None,
        }
    }
}
