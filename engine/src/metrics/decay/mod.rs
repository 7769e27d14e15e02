//! Decay of sound at a listener: Schroeder curves, decay times and energy ratios after ISO 3382,
//! each with its error or the reason why it is not given.
//!
//! A decay is energy in even time bins ([`EnergyDecay`]); the curve is its backward integral
//! ([`SchroederCurve`]); [`evaluate()`] gives every [`Metric`]. Where part of the energy comes from
//! independent random batches, [`Replicates`] gives the same figures with standard errors. A measured
//! decay that sinks into noise goes through [`without_noise`] first.
//!
//! ISO 3382 itself was not opened: its definitions stand here from memory, and its identities and
//! integral forms were also read second-hand.

mod energy;
mod estimate;
mod evaluate;
mod fit;
mod metric;
mod noise;
mod replicates;
mod schroeder;
mod tail;
mod unavailable;

pub use energy::{EnergyDecay, Truncation};
pub use estimate::{Estimate, jackknife};
pub use evaluate::{MetricInputs, evaluate};
pub use fit::{DecayTime, EvaluationRange, MARGIN_DB, curvature_percent};
pub use metric::{Metric, Metrics};
pub use noise::{NoiseFloor, NoiseRefused, find_floor, without_noise};
pub use replicates::Replicates;
pub use schroeder::SchroederCurve;
pub use tail::Tail;
pub use unavailable::Unavailable;
