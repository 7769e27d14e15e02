//! From arrivals and rays to what a microphone at the seat would record, and its energy against
//! time.

mod arrival_set;
mod arrival_sum;
mod crossover;
mod early;
mod energy_time;
mod impulse;
mod late;
mod spectrum;

pub use arrival_set::{ArrivalSet, ReceiverGain};
pub(crate) use arrival_sum::band_limit;
pub use crossover::LowFrequencyResponse;
pub use early::{EarlyResponse, ReferenceLevel, TruncationWindow};
pub use energy_time::{
    CurveError, EnergyTime, EtcArrival, FLOOR_DB, curve_filter, octave_filter, smoothing_s,
};
pub use impulse::ImpulseResponse;
pub use late::{LateEnergy, NoiseSeed};
pub(crate) use spectrum::samples;
pub use spectrum::{SAMPLE_RATE_HZ, Spectrum, TimedArrival};
