//! Analytic tracing of the empty shoebox room: six uniform specular surfaces and the air.
//!
//! Between surfaces that are uniform a ray meets each wall at one angle for ever. Its energy after a
//! path is then 2⁻ʰ, with h the sum of the attenuations of all walls hit and metres travelled; so only
//! hits are counted on the way, and the energy is evaluated where it is needed: at a receiver, at
//! Russian roulette and at the end. In any other room
//! [`PacketTracer`](super::packet_tracer::PacketTracer) traces packets from hit to hit.

mod attenuation;
mod group;
mod lanes;
mod ray;
#[cfg(test)]
mod tests;
mod tracer;

pub(super) use attenuation::ShoeboxAttenuation;
pub(super) use tracer::ShoeboxTracer;
