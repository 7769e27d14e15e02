//! Responses of source–receiver pairs, from arrivals and late energy, and their energy-time curves.

mod arrival_set;
mod arrival_sum;
mod crossover;
mod early;
mod energy_time;
mod filters;
mod impulse;
mod late;
mod octave_energy;
mod spectrum;

pub use arrival_set::{ArrivalSet, ReceiverGain};
pub use arrival_sum::TimedArrival;
pub(crate) use arrival_sum::band_limit;
pub use crossover::LowFrequencyResponse;
pub use early::{EarlyResponse, EtcArrival, ReferenceLevel, TruncationWindow};
pub use energy_time::{CurveError, EnergyTime, FLOOR_DB};
pub use filters::{curve_filter, octave_filter, smoothing_s};
pub(crate) use impulse::samples;
pub use impulse::{ImpulseResponse, SAMPLE_RATE_HZ};
pub use late::{LateEnergy, NoiseSeed};
pub use octave_energy::octave_energy;
pub use spectrum::Spectrum;
