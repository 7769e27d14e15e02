//! A run of rays followed from the speaker until they are spent.

use super::ear_ball::EarBall;
use super::inside::{Inside, dot};
use super::launch::{Emission, Lattice};
use super::ledger::Ledger;
use super::packet::{Packet, WIDTH};
use super::skin::{Row, Skins};
use super::snapshots::Film;
use super::step::{find_walls, move_on};
use super::stream::Stream;
use crate::bands::{BAND_COUNT, PerBand};
use crate::enclosure::Enclosure;
use crate::geometry::SURFACES;
use crate::widest::{Kernel, exp_small};
use glam::DVec3;
use std::f32::consts::PI;
use std::ops::Range;

/// All that rays of one speaker share.
#[derive(Debug)]
pub(super) struct Course<'a> {
    pub(super) enclosure: &'a Enclosure<'a>,
    pub(super) inside: Inside<'a>,
    pub(super) skins: Skins,
    pub(super) emission: Emission,
    pub(super) speaker: DVec3,
    pub(super) ears: Vec<EarBall>,
    pub(super) bins: usize,
    /// Inside dimensions of the room, metres.
    pub(super) size: [f32; 3],
    /// Energy that the air takes, nepers a metre.
    pub(super) air: Row,
    pub(super) still: bool,
    /// Rays are followed so far, metres.
    pub(super) longest_m: f32,
    /// Below this energy in every band a ray is retired or strengthened by a draw.
    pub(super) floor: f32,
    /// What their energy falls on along the way, where that is looked at.
    pub(super) film: Option<Film>,
}

/// A ray survives the floor with this probability, and is then as much stronger.
const SURVIVAL: f32 = 0.25;

/// Rays of one lattice to follow.
#[derive(Debug)]
pub(super) struct Chunk<'a> {
    pub(super) course: &'a Course<'a>,
    pub(super) lattice: Lattice,
    pub(super) rays: Range<u64>,
    pub(super) seed: u64,
    /// Number of the first ray of the lattice among all rays of the seed.
    pub(super) first: u64,
}

/// What a run of rays leaves, for each of them an energy of one.
#[derive(Debug)]
pub(super) struct Tally {
    /// For each ear, the energy in each bin.
    pub(super) histograms: Vec<Vec<PerBand<f64>>>,
    pub(super) ledger: Ledger,
    /// The exposed film; empty without one.
    pub(super) film: Vec<PerBand<f64>>,
}

impl Kernel for Chunk<'_> {
    type Output = Tally;

    #[inline(always)]
    fn run(self) -> Tally {
        let course = self.course;
        let mut tally = Tally {
            histograms: vec![vec![[0.0; BAND_COUNT]; course.bins]; course.ears.len()],
            ledger: Ledger::default(),
            film: course.film.as_ref().map_or(Vec::new(), Film::blank),
        };
        let mut packet = Packet::empty();
        let mut waiting = self.rays;
        loop {
            while packet.live < WIDTH
                && let Some(index) = waiting.next()
            {
                let stream = Stream::new(self.seed, self.first + index);
                packet.launch(course.speaker, &self.lattice, index, &course.emission, stream);
                add(&mut tally.ledger.emitted, packet.energy[packet.live - 1]);
            }
            if packet.live == 0 {
                return tally;
            }
            course.advance(&mut packet, &mut tally);
        }
    }
}

impl Course<'_> {
    /// Takes every ray of a packet to its next hit and over it.
    #[inline(always)]
    fn advance(&self, packet: &mut Packet, tally: &mut Tally) {
        tally.ledger.segments += packet.live as u64;
        find_walls(packet, self.size);
        if !self.inside.is_empty() {
            self.find_faces(packet);
        }
        for (ear, histogram) in self.ears.iter().zip(&mut tally.histograms) {
            self.pass_ear(packet, ear, histogram);
        }
        if let Some(film) = &self.film {
            film.expose(packet, &mut tally.film);
        }
        move_on(packet, self.size);
        // From the last to the first: whoever takes a retired ray's place has had its turn.
        for i in (0..packet.live).rev() {
            self.bounce(packet, i, tally);
        }
    }

    #[inline(always)]
    fn find_faces(&self, packet: &mut Packet) {
        for i in 0..packet.live {
            let at = packet.at.map_column(i);
            let way = packet.way.map_column(i);
            if let Some((ahead_m, face, cos)) = self.inside.nearest(at, way, packet.ahead_m[i]) {
                packet.ahead_m[i] = ahead_m;
                packet.face[i] = (SURFACES + face) as u32;
                packet.cos[i] = cos;
            }
        }
    }

    /// Counts rays that come from a mirror and pass through a listener's ball.
    #[inline(always)]
    fn pass_ear(&self, packet: &Packet, ear: &EarBall, histogram: &mut [PerBand<f64>]) {
        let mut closest_m = [0.0; WIDTH];
        let mut half_chord2 = [0.0; WIDTH];
        for i in 0..WIDTH {
            let offset = |axis: usize| ear.centre[axis] - packet.at[axis][i];
            let (x, y, z) = (offset(0), offset(1), offset(2));
            let along = x * packet.way[0][i] + y * packet.way[1][i] + z * packet.way[2][i];
            let inside2 = ear.radius2 - (x * x + y * y + z * z - along * along);
            let ahead = (along > 0.0) & (along < packet.ahead_m[i]);
            closest_m[i] = along;
            half_chord2[i] = if ahead { inside2 } else { 0.0 };
        }
        for i in 0..packet.live {
            if half_chord2[i] > 0.0 && packet.past[i].mirrored_last {
                let run_m = ear.distance_m(packet.run_m[i] + closest_m[i], half_chord2[i]);
                if !ear.holds(packet.past[i], run_m) {
                    let share = ear.share(half_chord2[i], run_m);
                    let left = self.left_by_air(closest_m[i]);
                    let energy = packet.energy[i];
                    ear.add(histogram, run_m, product(energy, left, share));
                }
            }
        }
    }

    /// One ray at its hit: absorbed, scattered to every listener, sent on.
    #[inline(always)]
    fn bounce(&self, packet: &mut Packet, i: usize, tally: &mut Tally) {
        let mut energy = packet.energy[i];
        if !self.still {
            let arrived = product(energy, self.left_by_air(packet.ahead_m[i]), 1.0);
            account(&mut tally.ledger.air, energy, arrived);
            energy = arrived;
        }
        if packet.run_m[i] > self.longest_m {
            add(&mut tally.ledger.alive, energy);
            packet.retire(i);
            return;
        }
        if packet.past[i].order > 0 {
            let flight_m = f64::from(packet.ahead_m[i]);
            tally.ledger.flights += 1;
            tally.ledger.flights_m += flight_m;
            tally.ledger.flights_m2 += flight_m * flight_m;
        }
        let material = self.material(packet, i);
        let kept = product(energy, self.skins.reflected(material, packet.cos[i]), 1.0);
        account(&mut tally.ledger.absorbed, energy, kept);
        energy = kept;

        let face = packet.face[i] as usize;
        let scatter = self.skins.scatter(material);
        let mut past = packet.past[i];
        past.on_surfaces &= face < SURFACES;
        past.order = past.order.saturating_add(1);
        past.mirrored_last = true;
        if scatter.chance > 0.0 {
            let normal = self.normal(face);
            self.scatter_to_ears(packet, i, normal, product(energy, scatter.share, 1.0), tally);
            past.mirrored_last = packet.stream[i].next() >= scatter.chance;
            past.scattered |= !past.mirrored_last;
            let weight = if past.mirrored_last { scatter.mirrored } else { scatter.scattered };
            let drawn = product(energy, weight, 1.0);
            account(&mut tally.ledger.drawn, energy, drawn);
            energy = drawn;
            if !past.mirrored_last {
                let way = lambert(normal, &mut packet.stream[i]);
                packet.turn(i, way);
            }
        }
        if past.mirrored_last && face >= SURFACES {
            let way = packet.way.map_column(i);
            packet.turn(i, mirrored(way, self.normal(face)));
        }
        packet.past[i] = past;
        packet.energy[i] = energy;

        let strongest = energy.iter().fold(0.0, |most: f32, &e| most.max(e));
        if strongest < self.floor {
            let survives = strongest > 0.0 && packet.stream[i].next() < SURVIVAL;
            let weight = if survives { 1.0 / SURVIVAL } else { 0.0 };
            let drawn = product(energy, [1.0; BAND_COUNT], weight);
            account(&mut tally.ledger.drawn, energy, drawn);
            packet.energy[i] = drawn;
            if !survives {
                packet.retire(i);
            }
        }
    }

    /// Scattered energy that reaches each listener from a hit, by the law of Lambert: the part of
    /// cos θ/πr² that a listener at distance r is seen under.
    #[inline(always)]
    fn scatter_to_ears(
        &self,
        packet: &Packet,
        i: usize,
        normal: [f32; 3],
        energy: Row,
        tally: &mut Tally,
    ) {
        let from = packet.at.map_column(i);
        for (ear, histogram) in self.ears.iter().zip(&mut tally.histograms) {
            let offset = [0, 1, 2].map(|axis| ear.centre[axis] - from[axis]);
            let distance2 = dot(offset, offset);
            let distance_m = distance2.sqrt();
            let way = offset.map(|x| x / distance_m);
            let cos = dot(way, normal);
            if cos <= 0.0 || self.inside.blocked(from, way, distance_m) {
                continue;
            }
            let left = self.left_by_air(distance_m);
            let run_m = packet.run_m[i] + distance_m;
            ear.add(histogram, run_m, product(energy, left, cos / (PI * distance2)));
        }
    }

    /// What the air leaves over a distance.
    #[inline(always)]
    fn left_by_air(&self, distance_m: f32) -> Row {
        if self.still {
            return [1.0; BAND_COUNT];
        }
        self.air.map(|nepers_per_m| exp_small(-nepers_per_m * distance_m))
    }

    #[inline(always)]
    fn material(&self, packet: &Packet, i: usize) -> usize {
        let face = packet.face[i] as usize;
        let panel = if face < SURFACES && self.enclosure.has_panels(face) {
            let at = packet.at.map_column(i).map(f64::from);
            self.enclosure.panel_at(face, DVec3::from_array(at))
        } else {
            None
        };
        self.enclosure.material(face, panel)
    }

    #[inline(always)]
    fn normal(&self, face: usize) -> [f32; 3] {
        if face >= SURFACES {
            return self.inside.normal(face - SURFACES);
        }
        let mut normal = [0.0; 3];
        normal[face / 2] = if face % 2 == 1 { -1.0 } else { 1.0 };
        normal
    }
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

#[inline(always)]
fn product(energy: Row, factor: Row, share: f32) -> Row {
    std::array::from_fn(|band| energy[band] * factor[band] * share)
}

#[inline(always)]
fn add(sum: &mut PerBand<f64>, energy: Row) {
    for (sum, e) in sum.iter_mut().zip(energy) {
        *sum += f64::from(e);
    }
}

/// Enters what went between two energies of a ray. Both are as the ray holds them, so that every
/// account adds up whatever was rounded on the way.
#[inline(always)]
fn account(sum: &mut PerBand<f64>, before: Row, after: Row) {
    for band in 0..BAND_COUNT {
        sum[band] += f64::from(before[band]) - f64::from(after[band]);
    }
}

/// One ray out of columns.
trait Columns {
    fn map_column(&self, i: usize) -> [f32; 3];
}

impl Columns for [[f32; WIDTH]; 3] {
    #[inline(always)]
    fn map_column(&self, i: usize) -> [f32; 3] {
        [self[0][i], self[1][i], self[2][i]]
    }
}
