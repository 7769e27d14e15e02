//! Progress of a simulation, for whoever waits for it.

use super::request::SimulationError;

/// A stage of a simulation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Image sources: reflections and early response.
    Images,
    /// Ray tracing.
    Rays,
    /// Wave field at low frequencies.
    WaveField,
}

/// A receiver of progress reports, called from any thread. `()` ignores them all.
pub trait Progress: Sync {
    /// A stage begins, of so many units of work where that is known beforehand.
    fn begin(&self, stage: Stage, work: Option<u64>) {
        let _ = (stage, work);
    }

    /// More units of the present stage are done.
    fn advance(&self, work: u64) {
        let _ = work;
    }

    /// Whether the simulation shall go on; queried between pieces of work.
    fn should_continue(&self) -> bool {
        true
    }
}

impl Progress for () {}

/// # Errors
/// The simulation shall not go on.
pub(super) fn go_on(progress: &dyn Progress) -> Result<(), SimulationError> {
    if progress.should_continue() { Ok(()) } else { Err(SimulationError::Interrupted) }
}
