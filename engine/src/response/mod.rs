//! From arrivals and rays to what a microphone at the seat would record, and its energy against
//! time.

mod crossover;
mod energy_time;
mod impulse;
mod late;
mod spectrum;
mod specular;
mod strands;
mod sum;

pub use crossover::LowFrequencyResponse;
pub use energy_time::{
    CurveError, EnergyTime, FLOOR_DB, Stick, curve_filter, octave_filter, smoothing_s,
};
pub use impulse::ImpulseResponse;
pub use late::{Draw, Late};
pub(crate) use spectrum::samples;
pub use spectrum::{Placed, SAMPLE_RATE_HZ, Spectrum};
pub use specular::{Fade, Reference, Specular};
pub use strands::{Heard, Strands};
pub(crate) use sum::ends;
