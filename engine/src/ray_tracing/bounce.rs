//! Rays at their hits: through the air, absorbed, scattered or mirrored, retired when spent.

use super::chunk::{Course, Tally};
use super::inside::dot;
use super::packet::{Columns, Packet, WIDTH, past};
use super::purse::Count;
use super::skin::Row;
use super::stream::Stream;
use crate::geometry::SURFACES;

/// A ray survives the floor with this probability, and is then as much stronger.
pub(super) const SURVIVAL: f32 = 0.25;

impl Course {
    /// Ends rays that have run as far as anyone wants to know.
    #[inline(always)]
    pub(super) fn end_late(&self, packet: &mut Packet, tally: &mut Tally) {
        if !packet.run_m.iter().fold(false, |any, &run_m| any | (run_m > self.longest_m)) {
            return;
        }
        for i in (0..packet.live).rev() {
            if packet.run_m[i] > self.longest_m {
                tally.purse.pay(&mut tally.ledger.alive, packet.energy[i]);
                packet.retire(i);
            }
        }
    }

    /// The air takes its share of the flight that just ended, and the surface what it absorbs.
    #[inline(always)]
    pub(super) fn lose(&self, packet: &mut Packet, tally: &mut Tally) {
        if !self.air.still {
            let (step, part) = self.air.steps(&packet.ahead_m);
            let count = Count::after(&mut packet.energy, |i, energy| {
                left_of(energy, self.air.between(step[i], part[i]))
            });
            tally.purse.settle(&mut tally.ledger.air, &count);
        }
        let (step, part) = self.skins.steps(&packet.material, &packet.cos);
        if self.air.still && !self.scatters {
            // All that is missing at the end was absorbed: nobody need count before.
            for (i, energy) in packet.energy.iter_mut().enumerate() {
                *energy = left_of(*energy, self.skins.reflected(step[i], part[i]));
            }
            return;
        }
        let count = Count::after(&mut packet.energy, |i, energy| {
            left_of(energy, self.skins.reflected(step[i], part[i]))
        });
        tally.purse.settle(&mut tally.ledger.absorbed, &count);
    }

    /// Sends every ray on, mirrored or scattered, if there is enough of it left.
    #[inline(always)]
    pub(super) fn go_on(&self, packet: &mut Packet, tally: &mut Tally) {
        for i in 0..WIDTH {
            let inside = packet.face[i] >= SURFACES as u32;
            packet.past[i] &= !past::NO_MIRROR_LAST;
            packet.past[i] |= if inside { past::OFF_SURFACES } else { 0 };
        }
        if self.scatters {
            for i in 0..packet.live {
                self.draw(packet, i);
            }
            if self.skins.weighs() {
                let count = Count::after(&mut packet.energy, |_, energy| energy);
                tally.purse.settle(&mut tally.ledger.drawn, &count);
            }
        }
        if !self.inside.is_empty() {
            self.mirror(packet);
        }
        // From the last to the first: whoever takes a retired ray's place has had its turn.
        for i in (0..packet.live).rev() {
            if all_below(&packet.energy[i], self.floor) {
                spare(packet, i, tally);
            }
        }
    }

    /// Draws whether a ray goes on mirrored or scattered, and gives it its weight.
    #[inline(always)]
    fn draw(&self, packet: &mut Packet, i: usize) {
        let scatter = self.skins.scatter(packet.material[i]);
        if scatter.chance <= 0.0 {
            return;
        }
        let scattered = packet.stream[i].next() < scatter.chance;
        let weight = if scattered { &scatter.scattered } else { &scatter.mirrored };
        packet.energy[i] = product(packet.energy[i], *weight);
        if scattered {
            packet.past[i] |= past::SCATTERED | past::NO_MIRROR_LAST;
            let way = lambert(self.places.normal(packet.face[i]), &mut packet.stream[i]);
            packet.turn(i, way);
        }
    }

    /// Mirrors what comes from faces inside the room; walls mirror where rays land on them.
    #[inline(always)]
    fn mirror(&self, packet: &mut Packet) {
        for i in 0..packet.live {
            let mirrors = packet.past[i] & past::NO_MIRROR_LAST == 0;
            if mirrors & (packet.face[i] >= SURFACES as u32) {
                let way = packet.way.ray(i);
                packet.turn(i, mirrored(way, self.places.normal(packet.face[i])));
            }
        }
    }
}

/// A draw retires a ray below the floor, or strengthens it.
#[inline(never)]
fn spare(packet: &mut Packet, i: usize, tally: &mut Tally) {
    let energy = packet.energy[i];
    let survives = energy.iter().any(|&e| e > 0.0) && packet.stream[i].next() < SURVIVAL;
    let weight = if survives { 1.0 / SURVIVAL } else { 0.0 };
    let drawn = energy.map(|e| e * weight);
    let taken = std::array::from_fn(|band| energy[band] - drawn[band]);
    tally.purse.pay(&mut tally.ledger.drawn, taken);
    packet.energy[i] = drawn;
    if !survives {
        packet.retire(i);
    }
}

#[inline(always)]
fn product(energy: Row, factor: Row) -> Row {
    std::array::from_fn(|band| energy[band] * factor[band])
}

/// Energy below this is nothing: 250 dB under what a ray leaves with on axis. Bands that fall much
/// faster than the one a ray lives by would come to numbers so small that processors work them out
/// in many steps.
const NOTHING: f32 = 1e-25;

/// What is left of energy, or nothing.
#[inline(always)]
fn left_of(energy: Row, share: Row) -> Row {
    std::array::from_fn(|band| {
        let left = energy[band] * share[band];
        if left > NOTHING { left } else { 0.0 }
    })
}

#[inline(always)]
fn all_below(energy: &Row, floor: f32) -> bool {
    energy.iter().fold(true, |all, &e| all & (e < floor))
}

/// A direction scattered by the law of Lambert: straight over an even disc.
#[inline(always)]
fn lambert(normal: [f32; 3], stream: &mut Stream) -> [f32; 3] {
    let (x, y, square) = loop {
        let (x, y) = (2.0 * stream.next() - 1.0, 2.0 * stream.next() - 1.0);
        let square = x * x + y * y;
        if square < 1.0 {
            break (x, y, square);
        }
    };
    let up = (1.0 - square).sqrt();
    let [along, across] = beside(normal);
    [0, 1, 2].map(|axis| along[axis] * x + across[axis] * y + normal[axis] * up)
}

/// Two unit vectors at right angles to a unit vector and to each other (Duff and others 2017, from
/// memory).
#[inline(always)]
fn beside([x, y, z]: [f32; 3]) -> [[f32; 3]; 2] {
    let sign = 1f32.copysign(z);
    let a = -1.0 / (sign + z);
    let b = x * y * a;
    [[1.0 + sign * x * x * a, sign * b, -sign * x], [b, sign + y * y * a, -y]]
}

#[inline(always)]
fn mirrored(way: [f32; 3], normal: [f32; 3]) -> [f32; 3] {
    let twice = 2.0 * dot(way, normal);
    [0, 1, 2].map(|axis| way[axis] - twice * normal[axis])
}
