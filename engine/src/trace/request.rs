//! What to trace, and why it cannot be.

use crate::scene::Scene;
use thiserror::Error;

/// What to trace and how far.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Indices of the speakers, in [`crate::scene::Scene::speakers`].
    pub speakers: Vec<usize>,
    /// Indices of the listeners, in [`crate::scene::Scene::listeners`].
    pub listeners: Vec<usize>,
    /// Highest image order in the list of reflections.
    pub order: usize,
    /// The list holds reflections up to this long after the direct sound, seconds. It does not
    /// lengthen the curve, which in a small room may end sooner.
    pub window_s: f64,
    /// The energy-time curve runs this long after the direct sound, seconds.
    pub curve_s: f64,
}

/// Why a plan cannot be traced.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RequestError {
    /// The plan names a speaker the scene does not have.
    #[error("the scene has {have} speakers; the plan asks for number {index}")]
    NoSuchSpeaker {
        /// The index asked for.
        index: usize,
        /// How many there are.
        have: usize,
    },
    /// The plan names a listener the scene does not have.
    #[error("the scene has {have} listeners; the plan asks for number {index}")]
    NoSuchListener {
        /// The index asked for.
        index: usize,
        /// How many there are.
        have: usize,
    },
    /// A time of the plan is negative, not finite or absurd.
    #[error("a window of {seconds} s cannot be traced; between 0 and {MAX_WINDOW_S} s can")]
    Window {
        /// The time asked for, seconds.
        seconds: f64,
    },
    /// The order is beyond what is enumerated.
    #[error("order {order} cannot be traced; up to {MAX_ORDER} can")]
    Order {
        /// The order asked for.
        order: usize,
    },
}

/// Longest window of a list or curve, seconds.
pub const MAX_WINDOW_S: f64 = 1.0;

/// Highest order of a list.
pub const MAX_ORDER: usize = 8;

impl Request {
    /// Every speaker at every listener, third order, 50 ms of list and 500 ms of curve.
    pub fn everything(scene: &Scene) -> Self {
        Self {
            speakers: (0..scene.speakers().len()).collect(),
            listeners: (0..scene.listeners().len()).collect(),
            order: 3,
            window_s: 0.05,
            curve_s: 0.5,
        }
    }

    pub(super) fn check(&self, scene: &Scene) -> Result<(), RequestError> {
        let beyond = |wanted: &[usize], have: usize| wanted.iter().copied().find(|&i| i >= have);
        let (speakers, listeners) = (scene.speakers().len(), scene.listeners().len());
        if let Some(index) = beyond(&self.speakers, speakers) {
            return Err(RequestError::NoSuchSpeaker { index, have: speakers });
        }
        if let Some(index) = beyond(&self.listeners, listeners) {
            return Err(RequestError::NoSuchListener { index, have: listeners });
        }
        if let Some(seconds) =
            [self.window_s, self.curve_s].into_iter().find(|s| !(0.0..=MAX_WINDOW_S).contains(s))
        {
            return Err(RequestError::Window { seconds });
        }
        if self.order > MAX_ORDER {
            return Err(RequestError::Order { order: self.order });
        }
        Ok(())
    }
}
