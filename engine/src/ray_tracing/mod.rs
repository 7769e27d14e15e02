//! Rays: everything that the list of mirror images does not hold.
//!
//! A ray leaves the speaker with an energy for each octave band and is followed from bounce to
//! bounce. Every bounce takes what the surface absorbs; what is scattered is sent to every listener
//! at once, as far as it is seen from there (next-event estimation), and one draw decides whether
//! the ray itself goes on mirrored or scattered. Mirrored rays are counted where they pass through a
//! ball about the listener, unless the list of images holds their path. All counts are unbiased
//! estimates; independent batches say how far they may be off. `docs/theory.md` derives the weights.

#![allow(
    clippy::cast_possible_truncation,
    reason = "faces and rays are counted in small numbers, energies kept in single precision"
)]
#![allow(
    clippy::needless_range_loop,
    clippy::needless_bitwise_bool,
    reason = "columns side by side, without branches, so that the compiler works on several rays"
)]

mod air_rows;
mod bins;
mod blocks;
mod bounce;
mod chunk;
mod ear_ball;
mod follow;
mod halvings;
mod histogram;
mod inside;
mod launch;
mod ledger;
mod listen;
mod mirror_path;
mod mirror_ray;
mod mirror_run;
#[cfg(test)]
mod mirror_tests;
mod packet;
mod places;
mod purse;
mod skin;
mod snapshots;
mod step;
mod steps;
mod stream;
mod tree;

pub use follow::{BATCHES, RayCount, RayPlan, RayTrace, Receiver, Source, follow};
pub use histogram::Histogram;
pub use ledger::Ledger;
pub use snapshots::{Moments, Snapshots, snapshots};
pub(crate) use stream::Stream;

/// Which mirror paths the list of images holds already, so that rays do not count them again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImageCoverage {
    /// Paths of up to this order …
    pub order: u32,
    /// … and this length, metres;
    pub list_m: f64,
    /// and those of any order over the six surfaces, up to this length, metres.
    pub every_order_m: f64,
}

impl ImageCoverage {
    /// The direct sound alone.
    pub const DIRECT: Self = Self { order: 0, list_m: f64::INFINITY, every_order_m: 0.0 };
}
