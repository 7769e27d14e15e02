//! From arrivals to what a microphone at the seat would record, and its energy against time.

mod energy_time;
mod spectrum;

pub use energy_time::{EnergyTime, FLOOR_DB, Stick, curve_filter, octave_filter, smoothing_s};
pub use spectrum::{SAMPLE_RATE_HZ, Spectrum};
