//! Sums over all rays traced so far: in batches on all cores, always with the same result.

use super::band_vector::BandVector;
use super::energy_balance::EnergyBalance;
use super::fibonacci_sphere::FibonacciSphere;
use super::frame_recorder::FrameRecorder;
use super::histogram::Histogram;
use super::packet_tracer::PacketTracer;
use super::ray_batch::{Accumulators, RayBatch};
use super::shoebox::ShoeboxTracer;
use super::trace_context::TraceContext;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::numerics::simd_dispatch::dispatch_simd;
use crate::numerics::stream::Stream;
use rayon::prelude::*;
use std::f64::consts::PI;

/// Independent replicates: enough for a standard error that is itself good to a fifth.
pub const REPLICATES: u64 = 16;

/// Rays of one task.
const RAYS_PER_BATCH: u64 = 1024;

/// Tasks whose results are in memory at once.
const TASKS_IN_FLIGHT: usize = 64;

/// Sums over all rays traced so far, replicate by replicate.
pub(super) struct TraceTotals {
    /// For each replicate, for each receiver.
    histograms: Vec<Vec<Vec<PerBand<f64>>>>,
    balance: EnergyBalance,
    frames: Vec<PerBand<f64>>,
    rays_per_replicate: u64,
    passes: u64,
}

impl TraceTotals {
    /// No rays yet.
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

    /// Traces so many more rays, each replicate over a sphere of directions with a rotation of its own.
    pub(super) fn refine(
        &mut self,
        context: &TraceContext,
        seed: u64,
        rays: u64,
        progress: &(dyn Fn(u64) + Sync),
    ) {
        let count = rays.div_ceil(REPLICATES);
        let of_replicate = |replicate| {
            (0..count).step_by(RAYS_PER_BATCH as usize).map(move |first| (replicate, first))
        };
        let tasks: Vec<(u64, u64)> = (0..REPLICATES).flat_map(of_replicate).collect();
        for in_flight in tasks.chunks(TASKS_IN_FLIGHT) {
            let trace_batch = |&(replicate, first): &(u64, u64)| {
                let rotation_index = self.passes * REPLICATES + replicate;
                // Rotations draw from another seed than rays, so that no stream is used twice.
                let rotation = Stream::new(!seed, rotation_index);
                let rays = first..(first + RAYS_PER_BATCH).min(count);
                let done = rays.end - rays.start;
                let directions = FibonacciSphere::new(count, rotation);
                let first = (self.rays_per_replicate * REPLICATES) + replicate * count;
                let acc = trace(RayBatch { context, directions, rays, seed, first });
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

    /// Adds the results of tasks in their order; replicates are independent of each other.
    fn add(&mut self, results: &[(usize, Accumulators)]) {
        self.histograms.par_iter_mut().enumerate().for_each(|(replicate, totals)| {
            for (_, acc) in results.iter().filter(|(of, _)| *of == replicate) {
                for (total, bins) in totals.iter_mut().zip(&acc.histograms) {
                    add_bins(total, bins.rows());
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

    /// Number of rays traced.
    pub(super) fn rays(&self) -> u64 {
        self.rays_per_replicate * REPLICATES
    }

    /// Energy times length in each cell of each frame, all rays together.
    pub(super) fn frames(&self) -> &[PerBand<f64>] {
        &self.frames
    }

    /// Energy emitted with all rays together.
    pub(super) fn emitted(&self) -> &PerBand<f64> {
        &self.balance.emitted
    }

    /// Energy balance of a mean ray.
    pub(super) fn mean_balance(&self) -> EnergyBalance {
        let mut balance = self.balance;
        balance.scale(1.0 / self.rays().max(1) as f64);
        balance
    }

    /// Histogram of each receiver.
    pub(super) fn histograms(&self, bin_s: f64) -> Vec<Histogram> {
        let receivers = self.histograms.first().map_or(0, Vec::len);
        // Solid angle of a ray.
        let solid_angle = 4.0 * PI / self.rays_per_replicate.max(1) as f64;
        let scaled = |bin: &PerBand<f64>| bin.map(|energy| energy * solid_angle);
        let replicates = |receiver: usize| {
            let of_receiver =
                |all: &Vec<Vec<PerBand<f64>>>| all[receiver].iter().map(scaled).collect();
            self.histograms.par_iter().map(of_receiver).collect()
        };
        (0..receivers).map(|r| Histogram { bin_s, replicates: replicates(r) }).collect()
    }
}

/// Traces a batch by the fastest method that the room allows.
fn trace(batch: RayBatch<'_>) -> Accumulators {
    match &batch.context.shoebox {
        Some(attenuation) if batch.context.frames.is_none() => {
            dispatch_simd(ShoeboxTracer { batch, attenuation })
        }
        _ => dispatch_simd(PacketTracer(batch)),
    }
}

fn add_bins(totals: &mut [PerBand<f64>], rows: &[BandVector]) {
    for (sum, energy) in totals.iter_mut().flatten().zip(rows.iter().flatten()) {
        *sum += f64::from(*energy);
    }
}
