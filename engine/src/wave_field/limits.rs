//! Range of frequencies and size of room within which the wave field is solved.

use crate::metrics::absorbing_areas::{absorbing_areas, enclosed_air};
use crate::metrics::diffuse_field::diffuse_field;
use crate::scene::{Scene, Variant};
use thiserror::Error;

/// Lowest frequency of a request, hertz.
pub const LOWEST_HZ: f64 = 10.0;
/// Highest frequency of a request, hertz.
pub const HIGHEST_HZ: f64 = 500.0;
/// Largest number of room modes up to the highest frequency of a request.
pub const MAX_MODES: usize = 1500;
/// Largest number of cosines on the surfaces at the highest frequency of a request.
pub const MAX_SURFACE_FUNCTIONS: usize = 2500;
/// Most bytes that the systems in memory take at a time.
pub(super) const MAX_BYTES: usize = 256 << 20;
/// Most bytes of the inverses that a search keeps.
pub(super) const MAX_INVERSE_BYTES: usize = 400 << 20;

/// Reason why a request cannot be solved.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum WaveFieldError {
    /// A speaker, listener or plane that is not in the scene.
    #[error("the plan asks for a speaker or listener that the scene does not have")]
    UnknownPosition,
    /// Frequencies that do not rise, or lie outside [`LOWEST_HZ`] to [`HIGHEST_HZ`].
    #[error("frequencies must rise from {LOWEST_HZ} Hz or more to at most {HIGHEST_HZ} Hz")]
    InvalidFrequencies,
    /// More than [`MAX_MODES`] modes: the solution would take too long.
    #[error(
        "a room of this size has {modes} modes up to there; at most {MAX_MODES} are solved for: ask for a lower highest frequency"
    )]
    TooManyModes {
        /// Modes up to the highest frequency.
        modes: usize,
    },
    /// More than [`MAX_SURFACE_FUNCTIONS`] cosines on the surfaces: the solution would take too long.
    #[error(
        "the surfaces of this room take {functions} cosines up to there; at most {MAX_SURFACE_FUNCTIONS} are solved for: ask for a lower highest frequency"
    )]
    TooManySurfaceFunctions {
        /// Cosines up to the highest frequency.
        functions: usize,
    },
    /// More work than is accepted.
    #[error("this would take one processor about {predicted_s:.0} s")]
    TooLong {
        /// Predicted time of one processor, seconds.
        predicted_s: f64,
    },
    /// The inverses of all frequencies would not fit in memory.
    #[error("solving this room again and again would take {megabytes} MB of memory")]
    TooMuchMemory {
        /// What it would take, megabytes.
        megabytes: usize,
    },
    /// Too narrow a range of frequencies for the figure requested.
    #[error(
        "too few frequencies for this; ask for a wider range with a lower lowest or a higher highest one"
    )]
    TooFewFrequencies,
}

/// Schroeder frequency, hertz, above which modes overlap and rays serve; `None` in a room that does
/// not absorb.
pub(crate) fn schroeder_hz(scene: &Scene, variant: &Variant<'_>) -> Option<f64> {
    let absorbers = absorbing_areas(scene, variant);
    diffuse_field(&enclosed_air(scene, variant), &absorbers).schroeder_hz
}
