//! A run of rays followed from the speaker until they are spent.

use super::advance::{advance_to_hits, intersect_walls};
use super::air_transmission::AirTransmission;
use super::carried_energy::CarriedEnergy;
use super::density_frames::FrameRecorder;
use super::emission::{Emission, FibonacciSphere};
use super::energy_balance::EnergyBalance;
use super::energy_bins::EnergyBins;
use super::obstacles::Obstacles;
use super::path_packet::{PathPacket, WIDTH};
use super::receiver_sphere::ReceiverSphere;
use super::reflectance::ReflectanceTable;
use super::shoebox::{ShoeboxAttenuation, ShoeboxTracer};
use super::stream::Stream;
use super::surface_materials::SurfaceMaterials;
use crate::medium::bands::PerBand;
use crate::numerics::simd_dispatch::{Kernel, dispatch_simd};
use glam::DVec3;
use std::ops::Range;

/// All that rays of one speaker share.
#[derive(Debug)]
pub(super) struct TraceContext {
    pub(super) obstacles: Obstacles,
    pub(super) surface_materials: SurfaceMaterials,
    pub(super) reflectance: ReflectanceTable,
    /// Whether anything in the room scatters.
    pub(super) scatters: bool,
    pub(super) emission: Emission,
    pub(super) speaker: DVec3,
    pub(super) receivers: Vec<ReceiverSphere>,
    pub(super) bins: usize,
    /// Obstacles dimensions of the room, metres.
    pub(super) size: [f32; 3],
    pub(super) air: AirTransmission,
    /// In a room of six even mirrors and nothing else.
    pub(super) shoebox: Option<ShoeboxAttenuation>,
    /// Rays are followed so far, metres.
    pub(super) longest_m: f32,
    /// Below this energy in every band a ray is retired or strengthened by a draw.
    pub(super) floor: f32,
    /// What their energy falls on along the way, where that is looked at.
    pub(super) frames: Option<FrameRecorder>,
}

/// Rays of one lattice to follow.
#[derive(Debug)]
pub(super) struct RayBatch<'a> {
    pub(super) context: &'a TraceContext,
    pub(super) directions: FibonacciSphere,
    pub(super) rays: Range<u64>,
    pub(super) seed: u64,
    /// Number of the first ray of the lattice among all rays of the seed.
    pub(super) first: u64,
}

/// What a run of rays leaves, for each of them an energy of one.
#[derive(Debug)]
pub(super) struct Accumulators {
    /// For each ear, the energy in each bin.
    pub(super) histograms: Vec<EnergyBins>,
    pub(super) balance: EnergyBalance,
    /// The exposed film; empty without one.
    pub(super) frames: Vec<PerBand<f64>>,
    /// What the rays on their way carry.
    pub(super) carried: CarriedEnergy,
}

impl Accumulators {
    pub(super) fn new(context: &TraceContext) -> Self {
        Self {
            histograms: vec![EnergyBins::new(context.bins); context.receivers.len()],
            balance: EnergyBalance::default(),
            frames: context.frames.as_ref().map_or(Vec::new(), FrameRecorder::zeros),
            carried: CarriedEnergy::default(),
        }
    }
}

impl RayBatch<'_> {
    /// Follows all rays, in the way that the room allows.
    pub(super) fn trace(self) -> Accumulators {
        match &self.context.shoebox {
            Some(attenuation) if self.context.frames.is_none() => {
                dispatch_simd(ShoeboxTracer { batch: self, attenuation })
            }
            _ => dispatch_simd(self),
        }
    }
}

impl Kernel for RayBatch<'_> {
    type Output = Accumulators;

    #[inline(always)]
    fn run(self) -> Accumulators {
        let context = self.context;
        let mut acc = Accumulators::new(context);
        let mut packet = PathPacket::empty();
        let mut waiting = self.rays.clone();
        loop {
            while packet.live < WIDTH
                && let Some(index) = waiting.next()
            {
                self.launch(index, &mut packet, &mut acc);
            }
            if packet.live == 0 {
                acc.carried.finish(&mut acc.balance.absorbed);
                return acc;
            }
            context.advance(&mut packet, &mut acc);
        }
    }
}

impl RayBatch<'_> {
    /// Kept out of the loop: it runs once for many bounces.
    #[inline(never)]
    fn launch(&self, index: u64, packet: &mut PathPacket, acc: &mut Accumulators) {
        let TraceContext { speaker, emission, .. } = self.context;
        let stream = Stream::new(self.seed, self.first + index);
        let energy = packet.launch(*speaker, &self.directions, index, emission, stream);
        acc.carried.credit(&mut acc.balance.emitted, energy);
    }
}

impl TraceContext {
    /// Takes every ray of a packet to its next hit and over it.
    #[inline(always)]
    fn advance(&self, packet: &mut PathPacket, acc: &mut Accumulators) {
        acc.balance.segments += packet.live as u64;
        intersect_walls(packet, self.size);
        if !self.obstacles.is_empty() {
            self.obstacles.nearest_hits(packet);
        }
        for (receiver, bins) in self.receivers.iter().zip(&mut acc.histograms) {
            self.score_crossings(packet, receiver, bins);
        }
        if let Some(frames) = &self.frames {
            frames.record(packet, &mut acc.frames);
        }
        let free_paths = advance_to_hits(packet, self.size);
        acc.balance.free_paths += free_paths.count;
        acc.balance.free_paths_sum_m += free_paths.sum_m;
        acc.balance.free_paths_sum_m2 += free_paths.sum_m2;

        self.truncate(packet, acc);
        self.surface_materials.assign(packet);
        self.attenuate(packet, acc);
        if self.scatters {
            self.next_event_estimation(packet, acc);
        }
        self.reflect_or_scatter(packet, acc);
    }
}
