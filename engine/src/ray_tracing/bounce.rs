//! Bounces of a packet: absorption, scattering or specular reflection, Russian roulette.

use super::band_vector::{BandVector, product};
use super::carried_energy::PacketEnergy;
use super::path_packet::{PathPacket, history};
use super::ray_batch::Accumulators;
use super::trace_context::TraceContext;
use crate::geometry::SURFACE_COUNT;
use crate::geometry::ray_cast::packet::{VectorColumns, WIDTH};
use crate::numerics::single_precision::dot;
use crate::numerics::stream::Stream;

/// Probability of survival at Russian roulette; survivors are as much stronger.
pub(super) const SURVIVAL_PROBABILITY: f32 = 0.25;

impl TraceContext {
    /// Ends rays on paths longer than the histograms.
    #[inline(always)]
    pub(super) fn truncate(&self, packet: &mut PathPacket, acc: &mut Accumulators) {
        if !packet.path_m.iter().fold(false, |any, &path_m| any | (path_m > self.longest_m)) {
            return;
        }
        for i in (0..packet.rays.live).rev() {
            if packet.path_m[i] > self.longest_m {
                acc.carried.debit(&mut acc.balance.truncated, packet.energy[i]);
                packet.retire(i);
            }
        }
    }

    /// Absorption by the air along the last segment, and by the surface at its end.
    #[inline(always)]
    pub(super) fn attenuate(&self, packet: &mut PathPacket, acc: &mut Accumulators) {
        if !self.air.is_lossless {
            let (step, fraction) = self.air.positions(&packet.rays.hit_t);
            let energy = PacketEnergy::of_changed(&mut packet.energy, |i, energy| {
                attenuated(energy, self.air.lerp(step[i], fraction[i]))
            });
            acc.carried.reconcile(&mut acc.balance.air_absorbed, &energy);
        }
        let (step, fraction) = self.reflectance.positions(&packet.material, &packet.rays.cos);
        if self.air.is_lossless && !self.scatters {
            // All that is missing at the end was absorbed: no sum is needed before.
            for (i, energy) in packet.energy.iter_mut().enumerate() {
                *energy = attenuated(*energy, self.reflectance.lerp(step[i], fraction[i]));
            }
            return;
        }
        let energy = PacketEnergy::of_changed(&mut packet.energy, |i, energy| {
            attenuated(energy, self.reflectance.lerp(step[i], fraction[i]))
        });
        acc.carried.reconcile(&mut acc.balance.absorbed, &energy);
    }

    /// Gives every ray its next direction, specular or scattered, and plays Russian roulette with those
    /// below the floor.
    #[inline(always)]
    pub(super) fn reflect_or_scatter(&self, packet: &mut PathPacket, acc: &mut Accumulators) {
        for i in 0..WIDTH {
            let is_obstacle = packet.rays.face[i] >= SURFACE_COUNT as u32;
            packet.history[i] &= !history::LAST_NOT_SPECULAR;
            packet.history[i] |= if is_obstacle { history::HIT_OBSTACLE } else { 0 };
        }
        if self.scatters {
            for i in 0..packet.rays.live {
                self.sample_scattering(packet, i);
            }
            if self.reflectance.has_weights() {
                let energy = PacketEnergy::of_changed(&mut packet.energy, |_, energy| energy);
                acc.carried.reconcile(&mut acc.balance.roulette, &energy);
            }
        }
        if self.caster.has_obstacles() {
            self.reflect_at_obstacles(packet);
        }
        // From the last to the first: what takes the column of a retired ray has had its turn.
        for i in (0..packet.rays.live).rev() {
            if is_below(&packet.energy[i], self.floor) {
                roulette(packet, i, acc);
            }
        }
    }

    /// Samples whether a ray goes on specularly or scattered, and weights it accordingly.
    #[inline(always)]
    fn sample_scattering(&self, packet: &mut PathPacket, i: usize) {
        let sampler = self.reflectance.scattering(packet.material[i]);
        if !sampler.scatters {
            return;
        }
        let event = sampler.sample(&packet.posterior[i], packet.stream[i].next());
        if let Some(weight) = event.weight {
            packet.energy[i] = product(packet.energy[i], weight);
            packet.posterior[i] = product(packet.posterior[i], weight);
        }
        if event.is_scattered {
            packet.history[i] |= history::SCATTERED | history::LAST_NOT_SPECULAR;
            let normal = self.surface_materials.normal(packet.rays.face[i]);
            let dir = sample_lambert(normal, &mut packet.stream[i]);
            packet.rays.set_direction(i, dir);
        }
    }

    /// Specular reflection at faces inside the room; at walls it happens where rays land on them.
    #[inline(always)]
    fn reflect_at_obstacles(&self, packet: &mut PathPacket) {
        for i in 0..packet.rays.live {
            let is_specular = packet.history[i] & history::LAST_NOT_SPECULAR == 0;
            if is_specular & (packet.rays.face[i] >= SURFACE_COUNT as u32) {
                let normal = self.surface_materials.normal(packet.rays.face[i]);
                let dir = reflected(packet.rays.dir.vector(i), normal);
                packet.rays.set_direction(i, dir);
            }
        }
    }
}

/// Russian roulette: retires a ray, or strengthens it.
#[inline(never)]
fn roulette(packet: &mut PathPacket, i: usize, acc: &mut Accumulators) {
    let energy = packet.energy[i];
    let survives =
        energy.iter().any(|&e| e > 0.0) && packet.stream[i].next() < SURVIVAL_PROBABILITY;
    let weight = if survives { 1.0 / SURVIVAL_PROBABILITY } else { 0.0 };
    let weighted = energy.map(|e| e * weight);
    let lost = std::array::from_fn(|band| energy[band] - weighted[band]);
    acc.carried.debit(&mut acc.balance.roulette, lost);
    packet.energy[i] = weighted;
    if !survives {
        packet.retire(i);
    }
}

/// Energy below which a band counts as empty: 250 dB under what a ray leaves with on axis. Bands that
/// fall much faster than the one a ray lives by would come to subnormal numbers, which processors
/// work out in many steps.
const NEGLIGIBLE: f32 = 1e-25;

/// Energy after attenuation, zero where negligible.
#[inline(always)]
fn attenuated(energy: BandVector, factor: BandVector) -> BandVector {
    std::array::from_fn(|band| {
        let remaining = energy[band] * factor[band];
        if remaining > NEGLIGIBLE { remaining } else { 0.0 }
    })
}

#[inline(always)]
fn is_below(energy: &BandVector, floor: f32) -> bool {
    energy.iter().fold(true, |all, &e| all & (e < floor))
}

/// Cosine-weighted direction about a normal (Malley's method: above a uniform point of the disc).
#[inline(always)]
fn sample_lambert(normal: [f32; 3], stream: &mut Stream) -> [f32; 3] {
    let (x, y, radius2) = loop {
        let (x, y) = (2.0 * stream.next() - 1.0, 2.0 * stream.next() - 1.0);
        let radius2 = x * x + y * y;
        if radius2 < 1.0 {
            break (x, y, radius2);
        }
    };
    let up = (1.0 - radius2).sqrt();
    let [tangent, bitangent] = orthonormal_basis(normal);
    [0, 1, 2].map(|axis| tangent[axis] * x + bitangent[axis] * y + normal[axis] * up)
}

/// Two unit vectors at right angles to a unit vector and to each other (Duff and others 2017, from
/// memory).
#[inline(always)]
fn orthonormal_basis([x, y, z]: [f32; 3]) -> [[f32; 3]; 2] {
    let sign = 1f32.copysign(z);
    let a = -1.0 / (sign + z);
    let b = x * y * a;
    [[1.0 + sign * x * x * a, sign * b, -sign * x], [b, sign + y * y * a, -y]]
}

#[inline(always)]
fn reflected(dir: [f32; 3], normal: [f32; 3]) -> [f32; 3] {
    let twice = 2.0 * dot(dir, normal);
    [0, 1, 2].map(|axis| dir[axis] - twice * normal[axis])
}
