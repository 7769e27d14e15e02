//! Progress of long work, for whoever waits for it.

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

    /// Whether work that takes one processor so many seconds, by an estimate, may begin.
    fn accepts(&self, predicted_s: f64) -> bool {
        let _ = predicted_s;
        true
    }

    /// Whether the simulation shall go on; queried between pieces of work.
    fn should_continue(&self) -> bool {
        true
    }
}

impl Progress for () {}
