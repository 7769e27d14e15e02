//! A run of rays followed from the speaker until they are spent.

use super::air_rows::AirRows;
use super::bins::Bins;
use super::ear_ball::EarBall;
use super::inside::Inside;
use super::launch::{Emission, Lattice};
use super::ledger::Ledger;
use super::mirror_run::{MirrorRun, Mirrors};
use super::packet::{Packet, WIDTH};
use super::places::Places;
use super::purse::Purse;
use super::skin::Skins;
use super::snapshots::Film;
use super::step::{find_walls, move_on};
use super::stream::Stream;
use crate::medium::bands::PerBand;
use crate::numerics::simd_dispatch::{Kernel, on_widest};
use glam::DVec3;
use std::ops::Range;

/// All that rays of one speaker share.
#[derive(Debug)]
pub(super) struct Course {
    pub(super) inside: Inside,
    pub(super) places: Places,
    pub(super) skins: Skins,
    /// Whether anything in the room scatters.
    pub(super) scatters: bool,
    pub(super) emission: Emission,
    pub(super) speaker: DVec3,
    pub(super) ears: Vec<EarBall>,
    pub(super) bins: usize,
    /// Inside dimensions of the room, metres.
    pub(super) size: [f32; 3],
    pub(super) air: AirRows,
    /// In a room of six even mirrors and nothing else.
    pub(super) mirrors: Option<Mirrors>,
    /// Rays are followed so far, metres.
    pub(super) longest_m: f32,
    /// Below this energy in every band a ray is retired or strengthened by a draw.
    pub(super) floor: f32,
    /// What their energy falls on along the way, where that is looked at.
    pub(super) film: Option<Film>,
}

/// Rays of one lattice to follow.
#[derive(Debug)]
pub(super) struct Chunk<'a> {
    pub(super) course: &'a Course,
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
    pub(super) histograms: Vec<Bins>,
    pub(super) ledger: Ledger,
    /// The exposed film; empty without one.
    pub(super) film: Vec<PerBand<f64>>,
    /// What the rays on their way carry.
    pub(super) purse: Purse,
}

impl Tally {
    pub(super) fn new(course: &Course) -> Self {
        Self {
            histograms: vec![Bins::new(course.bins); course.ears.len()],
            ledger: Ledger::default(),
            film: course.film.as_ref().map_or(Vec::new(), Film::blank),
            purse: Purse::default(),
        }
    }
}

impl Chunk<'_> {
    /// Follows all rays, in the way that the room allows.
    pub(super) fn follow(self) -> Tally {
        match &self.course.mirrors {
            Some(mirrors) if self.course.film.is_none() => {
                on_widest(MirrorRun { chunk: self, mirrors })
            }
            _ => on_widest(self),
        }
    }
}

impl Kernel for Chunk<'_> {
    type Output = Tally;

    #[inline(always)]
    fn run(self) -> Tally {
        let course = self.course;
        let mut tally = Tally::new(course);
        let mut packet = Packet::empty();
        let mut waiting = self.rays.clone();
        loop {
            while packet.live < WIDTH
                && let Some(index) = waiting.next()
            {
                self.launch(index, &mut packet, &mut tally);
            }
            if packet.live == 0 {
                tally.purse.close(&mut tally.ledger.absorbed);
                return tally;
            }
            course.advance(&mut packet, &mut tally);
        }
    }
}

impl Chunk<'_> {
    /// Kept out of the loop: it runs once for many bounces.
    #[inline(never)]
    fn launch(&self, index: u64, packet: &mut Packet, tally: &mut Tally) {
        let Course { speaker, emission, .. } = self.course;
        let stream = Stream::new(self.seed, self.first + index);
        let energy = packet.launch(*speaker, &self.lattice, index, emission, stream);
        tally.purse.receive(&mut tally.ledger.emitted, energy);
    }
}

impl Course {
    /// Takes every ray of a packet to its next hit and over it.
    #[inline(always)]
    fn advance(&self, packet: &mut Packet, tally: &mut Tally) {
        tally.ledger.segments += packet.live as u64;
        find_walls(packet, self.size);
        if !self.inside.is_empty() {
            self.inside.find(packet);
        }
        for (ear, bins) in self.ears.iter().zip(&mut tally.histograms) {
            self.pass_ear(packet, ear, bins);
        }
        if let Some(film) = &self.film {
            film.expose(packet, &mut tally.film);
        }
        let flights = move_on(packet, self.size);
        tally.ledger.flights += flights.count;
        tally.ledger.flights_m += flights.sum_m;
        tally.ledger.flights_m2 += flights.squares_m2;

        self.end_late(packet, tally);
        self.places.find(packet);
        self.lose(packet, tally);
        if self.scatters {
            self.scatter_to_ears(packet, tally);
        }
        self.go_on(packet, tally);
    }
}
