//! Rays at their hits: through the air, absorbed, scattered or mirrored, retired when spent.

use super::carried_energy::PacketEnergy;
use super::obstacles::dot;
use super::path_packet::{PathPacket, RayColumns, WIDTH, history};
use super::ray_batch::{Accumulators, TraceContext};
use super::reflectance::BandVector;
use super::stream::Stream;
use crate::geometry::SURFACE_COUNT;

/// A ray survives the floor with this probability, and is then as much stronger.
pub(super) const SURVIVAL_PROBABILITY: f32 = 0.25;

impl TraceContext {
    /// Ends rays that have run as far as anyone wants to know.
    #[inline(always)]
    pub(super) fn truncate(&self, packet: &mut PathPacket, acc: &mut Accumulators) {
        if !packet.path_m.iter().fold(false, |any, &path_m| any | (path_m > self.longest_m)) {
            return;
        }
        for i in (0..packet.live).rev() {
            if packet.path_m[i] > self.longest_m {
                acc.carried.debit(&mut acc.balance.truncated, packet.energy[i]);
                packet.retire(i);
            }
        }
    }

    /// The air takes its share of the flight that just ended, and the surface what it absorbs.
    #[inline(always)]
    pub(super) fn attenuate(&self, packet: &mut PathPacket, acc: &mut Accumulators) {
        if !self.air.is_lossless {
            let (step, part) = self.air.positions(&packet.hit_t);
            let count = PacketEnergy::of_changed(&mut packet.energy, |i, energy| {
                attenuated(energy, self.air.lerp(step[i], part[i]))
            });
            acc.carried.reconcile(&mut acc.balance.air_absorbed, &count);
        }
        let (step, part) = self.reflectance.positions(&packet.material, &packet.cos);
        if self.air.is_lossless && !self.scatters {
            // All that is missing at the end was absorbed: nobody need count before.
            for (i, energy) in packet.energy.iter_mut().enumerate() {
                *energy = attenuated(*energy, self.reflectance.lerp(step[i], part[i]));
            }
            return;
        }
        let count = PacketEnergy::of_changed(&mut packet.energy, |i, energy| {
            attenuated(energy, self.reflectance.lerp(step[i], part[i]))
        });
        acc.carried.reconcile(&mut acc.balance.absorbed, &count);
    }

    /// Sends every ray on, mirrored or scattered, if there is enough of it left.
    #[inline(always)]
    pub(super) fn reflect_or_scatter(&self, packet: &mut PathPacket, acc: &mut Accumulators) {
        for i in 0..WIDTH {
            let is_obstacle = packet.face[i] >= SURFACE_COUNT as u32;
            packet.history[i] &= !history::LAST_NOT_SPECULAR;
            packet.history[i] |= if is_obstacle { history::HIT_OBSTACLE } else { 0 };
        }
        if self.scatters {
            for i in 0..packet.live {
                self.sample_scattering(packet, i);
            }
            if self.reflectance.has_weights() {
                let count = PacketEnergy::of_changed(&mut packet.energy, |_, energy| energy);
                acc.carried.reconcile(&mut acc.balance.roulette, &count);
            }
        }
        if !self.obstacles.is_empty() {
            self.reflect_at_obstacles(packet);
        }
        // From the last to the first: whoever takes a retired ray's place has had its turn.
        for i in (0..packet.live).rev() {
            if is_below(&packet.energy[i], self.floor) {
                roulette(packet, i, acc);
            }
        }
    }

    /// Draws whether a ray goes on mirrored or scattered, and gives it its weight.
    #[inline(always)]
    fn sample_scattering(&self, packet: &mut PathPacket, i: usize) {
        let sampler = self.reflectance.scattering(packet.material[i]);
        if sampler.probability <= 0.0 {
            return;
        }
        let scattered = packet.stream[i].next() < sampler.probability;
        let weight = if scattered { &sampler.scattered_weight } else { &sampler.specular_weight };
        packet.energy[i] = product(packet.energy[i], *weight);
        if scattered {
            packet.history[i] |= history::SCATTERED | history::LAST_NOT_SPECULAR;
            let dir = sample_lambert(
                self.surface_materials.normal(packet.face[i]),
                &mut packet.stream[i],
            );
            packet.set_direction(i, dir);
        }
    }

    /// ShoeboxAttenuation what comes from faces inside the room; walls mirror where rays land on them.
    #[inline(always)]
    fn reflect_at_obstacles(&self, packet: &mut PathPacket) {
        for i in 0..packet.live {
            let mirrors = packet.history[i] & history::LAST_NOT_SPECULAR == 0;
            if mirrors & (packet.face[i] >= SURFACE_COUNT as u32) {
                let dir = packet.dir.ray(i);
                packet.set_direction(
                    i,
                    reflected(dir, self.surface_materials.normal(packet.face[i])),
                );
            }
        }
    }
}

/// A draw retires a ray below the floor, or strengthens it.
#[inline(never)]
fn roulette(packet: &mut PathPacket, i: usize, acc: &mut Accumulators) {
    let energy = packet.energy[i];
    let survives =
        energy.iter().any(|&e| e > 0.0) && packet.stream[i].next() < SURVIVAL_PROBABILITY;
    let weight = if survives { 1.0 / SURVIVAL_PROBABILITY } else { 0.0 };
    let drawn = energy.map(|e| e * weight);
    let taken = std::array::from_fn(|band| energy[band] - drawn[band]);
    acc.carried.debit(&mut acc.balance.roulette, taken);
    packet.energy[i] = drawn;
    if !survives {
        packet.retire(i);
    }
}

#[inline(always)]
fn product(energy: BandVector, factor: BandVector) -> BandVector {
    std::array::from_fn(|band| energy[band] * factor[band])
}

/// Energy below this is nothing: 250 dB under what a ray leaves with on axis. Bands that fall much
/// faster than the one a ray lives by would come to numbers so small that processors work them out
/// in many steps.
const NEGLIGIBLE: f32 = 1e-25;

/// What is left of energy, or nothing.
#[inline(always)]
fn attenuated(energy: BandVector, share: BandVector) -> BandVector {
    std::array::from_fn(|band| {
        let left = energy[band] * share[band];
        if left > NEGLIGIBLE { left } else { 0.0 }
    })
}

#[inline(always)]
fn is_below(energy: &BandVector, floor: f32) -> bool {
    energy.iter().fold(true, |all, &e| all & (e < floor))
}

/// A direction scattered by the law of Lambert: straight over an even disc.
#[inline(always)]
fn sample_lambert(normal: [f32; 3], stream: &mut Stream) -> [f32; 3] {
    let (x, y, square) = loop {
        let (x, y) = (2.0 * stream.next() - 1.0, 2.0 * stream.next() - 1.0);
        let square = x * x + y * y;
        if square < 1.0 {
            break (x, y, square);
        }
    };
    let up = (1.0 - square).sqrt();
    let [along, across] = orthonormal_basis(normal);
    [0, 1, 2].map(|axis| along[axis] * x + across[axis] * y + normal[axis] * up)
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
