//! From arrivals to curves.

mod energy_time;

pub use energy_time::EnergyTime;
