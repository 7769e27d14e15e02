//! Batch of rays that one task traces, and what it accumulates.

use super::carried_energy::CarriedEnergy;
use super::energy_balance::EnergyBalance;
use super::energy_bins::EnergyBins;
use super::fibonacci_sphere::FibonacciSphere;
use super::frame_recorder::FrameRecorder;
use super::trace_context::TraceContext;
use crate::medium::bands::PerBand;
use std::ops::Range;

/// Consecutive rays of one sphere of directions.
#[derive(Debug)]
pub(super) struct RayBatch<'a> {
    pub(super) context: &'a TraceContext,
    pub(super) directions: FibonacciSphere,
    pub(super) rays: Range<u64>,
    pub(super) seed: u64,
    /// Number of the first ray of the sphere among all rays of the seed.
    pub(super) first: u64,
}

/// Accumulated scores of a batch, for rays of unit energy on axis.
#[derive(Debug)]
pub(super) struct Accumulators {
    /// For each receiver, the energy in each bin.
    pub(super) histograms: Vec<EnergyBins>,
    pub(super) balance: EnergyBalance,
    /// Energy times length in each cell of each frame; empty without a recorder.
    pub(super) frames: Vec<PerBand<f64>>,
    /// Energy of the packet in flight.
    pub(super) carried: CarriedEnergy,
}

impl Accumulators {
    /// Nothing yet.
    pub(super) fn new(context: &TraceContext) -> Self {
        Self {
            histograms: vec![EnergyBins::new(context.bins); context.receivers.len()],
            balance: EnergyBalance::default(),
            frames: context.frames.as_ref().map_or(Vec::new(), FrameRecorder::zeros),
            carried: CarriedEnergy::default(),
        }
    }
}
