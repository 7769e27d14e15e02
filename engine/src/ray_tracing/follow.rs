//! Rays of one speaker to all listeners: in batches, on all cores, always with the same sum.

use super::air_rows::AirRows;
use super::chunk::{Chunk, Course, Tally};
use super::ear_ball::EarBall;
use super::inside::Inside;
use super::launch::{Emission, Lattice};
use super::mirror_run::Mirrors;
use super::places::Places;
use super::skin::{Row, Skins, single};
use super::snapshots::Film;
use super::stream::Stream;
use super::{Histogram, ImageCoverage, Ledger};
use crate::geometry::SURFACES;
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::medium::directivity::Radiator;
use crate::scene::Scene;
use glam::DVec3;
use rayon::prelude::*;
use std::f64::consts::{LN_10, PI};

/// How rays are followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RayPlan {
    /// How many.
    pub count: RayCount,
    /// What the random numbers begin from: the same seed gives the same bytes, on any machine and
    /// any number of threads.
    pub seed: u64,
    /// How long after the direct sound energy is counted, seconds.
    pub length_s: f64,
    /// Width of a bin, seconds.
    pub bin_s: f64,
    /// A ray this far below the energy it could have left with on axis is retired, or strengthened,
    /// by an unbiased draw; decibels, negative.
    pub floor_db: f64,
}

/// How many rays leave each speaker.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RayCount {
    /// So many, rounded up to a whole number for each batch.
    Fixed(u64),
    /// As many as it takes for [`Histogram::relative_error`] to fall to a target, at most `cap`.
    Until {
        /// The target, as a share.
        relative_error: f64,
        /// The most rays followed, reached or not.
        cap: u64,
    },
}

/// Where rays leave.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    /// The speaker's reference point, metres.
    pub at: DVec3,
    /// Unit vector along its axis.
    pub axis: DVec3,
    /// How it radiates.
    pub radiator: &'a Radiator,
}

/// Where energy is counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Receiver {
    /// The middle of the head, metres.
    pub at: DVec3,
    /// Path length of the direct sound, where the first bin begins, metres.
    pub direct_m: f64,
    /// What the list of images holds already.
    pub coverage: ImageCoverage,
}

/// What rays of one speaker leave at every receiver.
#[derive(Debug, Clone, PartialEq)]
pub struct RayTrace {
    /// Rays followed.
    pub rays: u64,
    /// One histogram for each receiver.
    pub histograms: Vec<Histogram>,
    /// Where the energy went.
    pub ledger: Ledger,
}

/// Independent batches: enough for a standard error that is itself good to a fifth.
pub const BATCHES: u64 = 16;

/// Rays one task follows.
const CHUNK: u64 = 1024;

/// Tasks whose results are held at once.
const WAVE: usize = 64;

/// The first round of a trace that goes on until its error is small.
const FIRST_ROUND: u64 = 8192;

/// Follows rays from a speaker. `progress` is told, from any thread, how many more are done.
pub fn follow(
    scene: &Scene,
    enclosure: &Enclosure,
    source: Source,
    receivers: &[Receiver],
    plan: &RayPlan,
    progress: &(dyn Fn(u64) + Sync),
) -> RayTrace {
    let course = course(scene, enclosure, source, receivers, plan);
    let mut sums = Sums::new(&course);
    match plan.count {
        RayCount::Fixed(rays) => sums.round(&course, plan.seed, rays, progress),
        RayCount::Until { relative_error, cap } => {
            let mut next = FIRST_ROUND.min(cap);
            while next > 0 {
                sums.round(&course, plan.seed, next, progress);
                let trace = sums.trace(plan.bin_s);
                let errors = trace.histograms.iter().filter_map(Histogram::relative_error);
                if errors.reduce(f64::max).is_none_or(|error| error <= relative_error) {
                    break;
                }
                // As many again, so that each round halves the variance.
                next = trace.rays.min(cap.saturating_sub(trace.rays));
            }
        }
    }
    sums.trace(plan.bin_s)
}

pub(super) fn course(
    scene: &Scene,
    enclosure: &Enclosure,
    source: Source,
    receivers: &[Receiver],
    plan: &RayPlan,
) -> Course {
    let faces = enclosure.faces();
    let speed = enclosure.speed_of_sound_m_s();
    let ear = |receiver: &Receiver| {
        let clear_m = faces.all().iter().map(|face| face.rectangle.distance_m(receiver.at));
        EarBall::new(receiver, clear_m.fold(f64::INFINITY, f64::min), plan.bin_s * speed)
    };
    let nepers = enclosure.attenuation_db_per_m().map(|db| db * LN_10 / 10.0);
    let farthest_m = receivers.iter().map(|r| r.direct_m).fold(0.0, f64::max);
    #[expect(clippy::cast_sign_loss, reason = "plans are positive")]
    let bins = (plan.length_s / plan.bin_s).ceil() as usize;
    let size = enclosure.room().size();
    let skins = Skins::new(scene, enclosure);
    let inside = Inside::new(&faces.all()[SURFACES..]);
    let places = Places::new(enclosure);
    let scatters = skins.scatter_at_all();
    let mirrors = inside.is_empty() && places.are_even() && !scatters;
    Course {
        mirrors: mirrors.then(|| Mirrors::new(skins.rows(), nepers)),
        inside,
        places,
        scatters,
        skins,
        emission: Emission::new(source.radiator, source.axis),
        speaker: source.at,
        ears: receivers.iter().map(ear).collect(),
        bins,
        size: size.to_array().map(single),
        air: AirRows::new(nepers, size.length()),
        longest_m: single(farthest_m + bins as f64 * plan.bin_s * speed),
        floor: single(10f64.powf(0.1 * plan.floor_db)),
        film: None,
    }
}

/// Sums over all rays followed so far, batch by batch.
pub(super) struct Sums {
    /// For each batch, for each receiver.
    histograms: Vec<Vec<Vec<PerBand<f64>>>>,
    ledger: Ledger,
    film: Vec<PerBand<f64>>,
    rays_per_batch: u64,
    rounds: u64,
}

impl Sums {
    pub(super) fn new(course: &Course) -> Self {
        let of_batch = vec![vec![[0.0; BAND_COUNT]; course.bins]; course.ears.len()];
        Self {
            histograms: vec![of_batch; BATCHES as usize],
            ledger: Ledger::default(),
            film: course.film.as_ref().map_or(Vec::new(), Film::blank),
            rays_per_batch: 0,
            rounds: 0,
        }
    }

    /// Follows so many more rays, in every batch a lattice of its own.
    pub(super) fn round(
        &mut self,
        course: &Course,
        seed: u64,
        rays: u64,
        progress: &(dyn Fn(u64) + Sync),
    ) {
        let count = rays.div_ceil(BATCHES);
        let tasks: Vec<(u64, u64)> = (0..BATCHES)
            .flat_map(|batch| (0..count).step_by(CHUNK as usize).map(move |first| (batch, first)))
            .collect();
        for wave in tasks.chunks(WAVE) {
            let follow = |&(batch, first): &(u64, u64)| {
                let lattice_number = self.rounds * BATCHES + batch;
                // Lattices draw from another seed than rays, so that no stream is used twice.
                let turn = Stream::new(!seed, lattice_number);
                let rays = first..(first + CHUNK).min(count);
                let done = rays.end - rays.start;
                let lattice = Lattice::new(count, turn);
                let first = (self.rays_per_batch * BATCHES) + batch * count;
                let tally = Chunk { course, lattice, rays, seed, first }.follow();
                progress(done);
                (batch as usize, tally)
            };
            let tallies: Vec<(usize, Tally)> = wave.par_iter().map(follow).collect();
            self.add(&tallies);
        }
        self.rays_per_batch += count;
        self.rounds += 1;
    }

    /// Adds what tasks leave, in their order; batches have nothing to do with each other.
    fn add(&mut self, tallies: &[(usize, Tally)]) {
        self.histograms.par_iter_mut().enumerate().for_each(|(batch, sums)| {
            for (_, tally) in tallies.iter().filter(|(of, _)| *of == batch) {
                for (sums, histogram) in sums.iter_mut().zip(&tally.histograms) {
                    add_bins(sums, histogram.rows());
                }
            }
        });
        for (_, tally) in tallies {
            self.ledger += &tally.ledger;
            for (sum, energy) in self.film.iter_mut().flatten().zip(tally.film.iter().flatten()) {
                *sum += energy;
            }
        }
    }

    /// Energy times length in each cell of each moment, all rays together.
    pub(super) fn film(&self) -> &[PerBand<f64>] {
        &self.film
    }

    /// Energy that all rays together left with.
    pub(super) fn emitted(&self) -> &PerBand<f64> {
        &self.ledger.emitted
    }

    fn trace(&self, bin_s: f64) -> RayTrace {
        let receivers = self.histograms.first().map_or(0, Vec::len);
        // Each ray stands for its part of the sphere.
        let share = 4.0 * PI / self.rays_per_batch.max(1) as f64;
        let scaled = |bin: &PerBand<f64>| bin.map(|energy| energy * share);
        let histogram = |receiver: usize| Histogram {
            bin_s,
            batches: self
                .histograms
                .par_iter()
                .map(|batch| batch[receiver].iter().map(scaled).collect())
                .collect(),
        };
        let rays = self.rays_per_batch * BATCHES;
        let mut ledger = self.ledger;
        ledger.scale(1.0 / rays.max(1) as f64);
        RayTrace { rays, histograms: (0..receivers).map(histogram).collect(), ledger }
    }
}

fn add_bins(sums: &mut [PerBand<f64>], rows: &[Row]) {
    for (sum, row) in sums.iter_mut().flatten().zip(rows.iter().flatten()) {
        *sum += f64::from(*row);
    }
}
