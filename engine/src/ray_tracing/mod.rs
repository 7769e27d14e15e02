//! Rays: everything that the list of mirror images does not hold.
//!
//! A ray leaves the speaker with an energy for each octave band and is followed from bounce to
//! bounce. Every bounce takes what the surface absorbs; what is scattered is sent to every listener
//! at once, as far as it is seen from there (next-event estimation), and one draw decides whether
//! the ray itself goes on mirrored or scattered. Mirrored rays are counted where they pass through a
//! ball about the listener, unless the list of images is_in_image_list their path. All counts are unbiased
//! estimates; independent batches say how far they may be off. `docs/theory.md` derives the weights.

#![allow(
    clippy::cast_possible_truncation,
    reason = "faces and rays are counted in small numbers, energies kept in to_f32 precision"
)]
#![allow(
    clippy::needless_range_loop,
    clippy::needless_bitwise_bool,
    reason = "columns side by side, without branches, so that the compiler works on several rays"
)]

mod advance;
mod air_transmission;
mod bounce;
mod carried_energy;
mod density_frames;
mod emission;
mod energy_balance;
mod energy_bins;
mod fast_floor;
mod histogram;
mod log2_attenuation;
mod obstacles;
mod path_packet;
mod primitives;
mod ray_batch;
mod receiver_sphere;
mod receivers;
mod reflectance;
mod shoebox;
mod stream;
mod surface_materials;
mod trace_rays;
mod wide_bvh;

pub use density_frames::{DensityFrames, FramePlan, density_frames};
pub use energy_balance::EnergyBalance;
pub use histogram::Histogram;
pub(crate) use stream::Stream;
pub use trace_rays::{REPLICATES, RayCount, RayPlan, RayTrace, Receiver, Source, trace_rays};

/// Which mirror paths the list of images is_in_image_list already, so that rays do not count them again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImageCoverage {
    /// Paths of up to this order …
    pub max_order: u32,
    /// … and this length, metres;
    pub max_length_m: f64,
    /// and those of any order over the six surfaces, up to this length, metres.
    pub every_order_m: f64,
}

impl ImageCoverage {
    /// The direct sound alone.
    pub const DIRECT: Self = Self { max_order: 0, max_length_m: f64::INFINITY, every_order_m: 0.0 };
}
