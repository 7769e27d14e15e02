//! Stochastic ray tracing of everything that the image-source list does not hold.
//!
//! A ray leaves the speaker with an energy for each octave band and is traced from bounce to bounce.
//! Every bounce absorbs its share; what is scattered goes to every receiver at once, as far as it is
//! visible from there (next-event estimation), and one random number decides whether the ray itself
//! goes on specularly or scattered. Specular rays are scored where they cross a sphere about the
//! receiver, unless the image-source list holds their path. All scores are unbiased estimates;
//! independent replicates give their standard error. `docs/theory.md` derives the weights.
//!
//! Tried for speed, without gain: closures called from a loop, which are not always inlined into the
//! version for wide vectors; loops over the three axes around a loop over rays, of which the inner one is
//! unrolled first and no vector comes (nine times slower); eight rays instead of sixteen in the bare box;
//! a choice between an old and a new value in place, which becomes a store under a mask; air and surface
//! in one pass over the energies.

#![allow(
    clippy::cast_possible_truncation,
    reason = "faces and rays are counted in small numbers, energies kept in single precision"
)]
#![allow(
    clippy::needless_range_loop,
    clippy::needless_bitwise_bool,
    reason = "columns side by side, without branches, so that the compiler works on several rays"
)]

mod advance;
mod air_transmission;
mod band_vector;
mod bounce;
mod carried_energy;
mod density_frames;
mod emission;
mod energy_balance;
mod energy_bins;
mod fibonacci_sphere;
mod frame_recorder;
mod histogram;
mod log2_attenuation;
mod packet_tracer;
mod path_packet;
mod ray_batch;
mod ray_plan;
mod receiver_sphere;
mod receivers;
mod reflectance;
mod scattering;
mod shoebox;
mod surface_materials;
mod trace_context;
mod trace_rays;
mod trace_totals;

pub(crate) use crate::numerics::stream::Stream;
pub use density_frames::{DensityFrames, density_frames};
pub use energy_balance::EnergyBalance;
pub use frame_recorder::FramePlan;
pub use histogram::Histogram;
pub use ray_plan::{ImageCoverage, RayCount, RayPlan, Receiver, Source};
pub use trace_rays::{RayTrace, trace_rays};
pub use trace_totals::REPLICATES;
