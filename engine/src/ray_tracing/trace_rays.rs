//! Rays of one speaker to all listeners: in batches, on all cores, always with the same sum.

use super::air_transmission::AirTransmission;
use super::density_frames::FrameRecorder;
use super::emission::{Emission, FibonacciSphere};
use super::obstacles::Obstacles;
use super::ray_batch::{Accumulators, RayBatch, TraceContext};
use super::receiver_sphere::ReceiverSphere;
use super::reflectance::{BandVector, ReflectanceTable, to_f32};
use super::shoebox::ShoeboxAttenuation;
use super::stream::Stream;
use super::surface_materials::SurfaceMaterials;
use super::{EnergyBalance, Histogram, ImageCoverage};
use crate::geometry::SURFACE_COUNT;
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
    /// What the list of images is_in_image_list already.
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
    pub balance: EnergyBalance,
}

/// Independent batches: enough for a standard error that is itself good to a fifth.
pub const REPLICATES: u64 = 16;

/// Rays one task follows.
const RAYS_PER_BATCH: u64 = 1024;

/// Tasks whose results are held at once.
const TASKS_IN_FLIGHT: usize = 64;

/// The first round of a trace that goes on until its error is small.
const FIRST_PASS_RAYS: u64 = 8192;

/// Follows rays from a speaker. `progress` is told, from any thread, how many more are done.
pub fn trace_rays(
    scene: &Scene,
    enclosure: &Enclosure,
    source: Source,
    receivers: &[Receiver],
    plan: &RayPlan,
    progress: &(dyn Fn(u64) + Sync),
) -> RayTrace {
    let context = trace_context(scene, enclosure, source, receivers, plan);
    let mut totals = TraceTotals::new(&context);
    match plan.count {
        RayCount::Fixed(rays) => totals.refine(&context, plan.seed, rays, progress),
        RayCount::Until { relative_error, cap } => {
            let mut next = FIRST_PASS_RAYS.min(cap);
            while next > 0 {
                totals.refine(&context, plan.seed, next, progress);
                let trace = totals.trace(plan.bin_s);
                let errors = trace.histograms.iter().filter_map(Histogram::relative_error);
                if errors.reduce(f64::max).is_none_or(|error| error <= relative_error) {
                    break;
                }
                // As many again, so that each round halves the variance.
                next = trace.rays.min(cap.saturating_sub(trace.rays));
            }
        }
    }
    totals.trace(plan.bin_s)
}

pub(super) fn trace_context(
    scene: &Scene,
    enclosure: &Enclosure,
    source: Source,
    receivers: &[Receiver],
    plan: &RayPlan,
) -> TraceContext {
    let faces = enclosure.faces();
    let speed = enclosure.speed_of_sound_m_s();
    let receiver = |receiver: &Receiver| {
        let clear_m = faces.all().iter().map(|face| face.rectangle.distance_m(receiver.at));
        ReceiverSphere::new(receiver, clear_m.fold(f64::INFINITY, f64::min), plan.bin_s * speed)
    };
    let nepers = enclosure.attenuation_db_per_m().map(|db| db * LN_10 / 10.0);
    let farthest_m = receivers.iter().map(|r| r.direct_m).fold(0.0, f64::max);
    #[expect(clippy::cast_sign_loss, reason = "plans are positive")]
    let bins = (plan.length_s / plan.bin_s).ceil() as usize;
    let size = enclosure.room().size();
    let reflectance = ReflectanceTable::new(scene, enclosure);
    let obstacles = Obstacles::new(&faces.all()[SURFACE_COUNT..]);
    let surface_materials = SurfaceMaterials::new(enclosure);
    let scatters = reflectance.has_scattering();
    let shoebox = obstacles.is_empty() && surface_materials.is_uniform() && !scatters;
    TraceContext {
        shoebox: shoebox.then(|| ShoeboxAttenuation::new(reflectance.rows(), nepers)),
        obstacles,
        surface_materials,
        scatters,
        reflectance,
        emission: Emission::new(source.radiator, source.axis),
        speaker: source.at,
        receivers: receivers.iter().map(receiver).collect(),
        bins,
        size: size.to_array().map(to_f32),
        air: AirTransmission::new(nepers, size.length()),
        longest_m: to_f32(farthest_m + bins as f64 * plan.bin_s * speed),
        floor: to_f32(10f64.powf(0.1 * plan.floor_db)),
        frames: None,
    }
}

/// TraceTotals over all rays followed so far, batch by batch.
pub(super) struct TraceTotals {
    /// For each batch, for each receiver.
    histograms: Vec<Vec<Vec<PerBand<f64>>>>,
    balance: EnergyBalance,
    frames: Vec<PerBand<f64>>,
    rays_per_replicate: u64,
    passes: u64,
}

impl TraceTotals {
    pub(super) fn new(context: &TraceContext) -> Self {
        let of_replicate = vec![vec![[0.0; BAND_COUNT]; context.bins]; context.receivers.len()];
        Self {
            histograms: vec![of_replicate; REPLICATES as usize],
            balance: EnergyBalance::default(),
            frames: context.frames.as_ref().map_or(Vec::new(), FrameRecorder::zeros),
            rays_per_replicate: 0,
            passes: 0,
        }
    }

    /// Follows so many more rays, in every batch a lattice of its own.
    pub(super) fn refine(
        &mut self,
        context: &TraceContext,
        seed: u64,
        rays: u64,
        progress: &(dyn Fn(u64) + Sync),
    ) {
        let count = rays.div_ceil(REPLICATES);
        let tasks: Vec<(u64, u64)> = (0..REPLICATES)
            .flat_map(|replicate| {
                (0..count).step_by(RAYS_PER_BATCH as usize).map(move |first| (replicate, first))
            })
            .collect();
        for in_flight in tasks.chunks(TASKS_IN_FLIGHT) {
            let trace_batch = |&(replicate, first): &(u64, u64)| {
                let rotation_index = self.passes * REPLICATES + replicate;
                // Lattices draw from another seed than rays, so that no stream is used twice.
                let rotation = Stream::new(!seed, rotation_index);
                let rays = first..(first + RAYS_PER_BATCH).min(count);
                let done = rays.end - rays.start;
                let directions = FibonacciSphere::new(count, rotation);
                let first = (self.rays_per_replicate * REPLICATES) + replicate * count;
                let acc = RayBatch { context, directions, rays, seed, first }.trace();
                progress(done);
                (replicate as usize, acc)
            };
            let results: Vec<(usize, Accumulators)> =
                in_flight.par_iter().map(trace_batch).collect();
            self.add(&results);
        }
        self.rays_per_replicate += count;
        self.passes += 1;
    }

    /// Adds what tasks leave, in their order; batches have nothing to do with each other.
    fn add(&mut self, results: &[(usize, Accumulators)]) {
        self.histograms.par_iter_mut().enumerate().for_each(|(replicate, totals)| {
            for (_, acc) in results.iter().filter(|(of, _)| *of == replicate) {
                for (totals, histogram) in totals.iter_mut().zip(&acc.histograms) {
                    add_bins(totals, histogram.rows());
                }
            }
        });
        for (_, acc) in results {
            self.balance += &acc.balance;
            for (sum, energy) in self.frames.iter_mut().flatten().zip(acc.frames.iter().flatten()) {
                *sum += energy;
            }
        }
    }

    /// Energy times length in each cell of each moment, all rays together.
    pub(super) fn frames(&self) -> &[PerBand<f64>] {
        &self.frames
    }

    /// Energy that all rays together left with.
    pub(super) fn emitted(&self) -> &PerBand<f64> {
        &self.balance.emitted
    }

    fn trace(&self, bin_s: f64) -> RayTrace {
        let receivers = self.histograms.first().map_or(0, Vec::len);
        // Each ray stands for its part of the sphere.
        let share = 4.0 * PI / self.rays_per_replicate.max(1) as f64;
        let scaled = |bin: &PerBand<f64>| bin.map(|energy| energy * share);
        let histogram = |receiver: usize| Histogram {
            bin_s,
            replicates: self
                .histograms
                .par_iter()
                .map(|replicate| replicate[receiver].iter().map(scaled).collect())
                .collect(),
        };
        let rays = self.rays_per_replicate * REPLICATES;
        let mut balance = self.balance;
        balance.scale(1.0 / rays.max(1) as f64);
        RayTrace { rays, histograms: (0..receivers).map(histogram).collect(), balance }
    }
}

fn add_bins(totals: &mut [PerBand<f64>], rows: &[BandVector]) {
    for (sum, row) in totals.iter_mut().flatten().zip(rows.iter().flatten()) {
        *sum += f64::from(*row);
    }
}
