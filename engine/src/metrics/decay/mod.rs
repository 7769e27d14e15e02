//! How sound dies away at a listener: decay curves, decay times and energy ratios after ISO 3382,
//! each with its error or the reason why it is not given.
//!
//! A decay is energy in even time bins ([`EnergyDecay`]); the curve is its backward integral
//! ([`BackwardCurve`]); [`evaluate()`] gives every [`Figure`]. Where part of the energy comes from
//! independent random batches, [`Ensemble`] gives the same figures with standard errors. A measured
//! decay that sinks into noise goes through [`without_noise`] first.
//!
//! ISO 3382 itself was not opened: its definitions stand here from memory, and its identities and
//! integral forms were also read second-hand.

mod absent;
mod backward;
mod energy;
mod ensemble;
mod estimate;
mod evaluate;
mod figure;
mod fit;
mod noise;
mod tail;

pub use absent::Absent;
pub use backward::BackwardCurve;
pub use energy::{End, EnergyDecay};
pub use ensemble::Ensemble;
pub use estimate::{Estimate, jackknife};
pub use evaluate::{Setting, evaluate};
pub use figure::{Figure, Figures};
pub use fit::{DecayTime, MARGIN_DB, Range, curvature_percent};
pub use noise::{NoiseFloor, NoiseRefused, find_floor, without_noise};
pub use tail::Tail;
