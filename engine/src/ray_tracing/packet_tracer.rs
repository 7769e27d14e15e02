//! Tracing of a batch in packets, from hit to hit, in any room.

use super::advance::advance_to_hits;
use super::path_packet::PathPacket;
use super::ray_batch::{Accumulators, RayBatch};
use super::trace_context::TraceContext;
use crate::geometry::ray_cast::packet::WIDTH;
use crate::numerics::simd_dispatch::Kernel;
use crate::numerics::stream::Stream;

/// Tracer of a batch.
#[derive(Debug)]
pub(super) struct PacketTracer<'a>(pub(super) RayBatch<'a>);

impl Kernel for PacketTracer<'_> {
    type Output = Accumulators;

    #[inline(always)]
    fn run(self) -> Accumulators {
        let context = self.0.context;
        let mut acc = Accumulators::new(context);
        let mut packet = PathPacket::empty();
        let mut waiting = self.0.rays.clone();
        loop {
            while packet.rays.live < WIDTH
                && let Some(index) = waiting.next()
            {
                self.launch(index, &mut packet, &mut acc);
            }
            if packet.rays.live == 0 {
                acc.carried.finish(&mut acc.balance.absorbed);
                return acc;
            }
            context.advance(&mut packet, &mut acc);
        }
    }
}

impl PacketTracer<'_> {
    /// Kept out of the loop: it runs once for many bounces.
    #[inline(never)]
    fn launch(&self, index: u64, packet: &mut PathPacket, acc: &mut Accumulators) {
        let RayBatch { context, directions, seed, first, .. } = &self.0;
        let stream = Stream::new(*seed, first + index);
        let energy = packet.launch(context.speaker, directions, index, &context.emission, stream);
        acc.carried.credit(&mut acc.balance.emitted, energy);
    }
}

impl TraceContext {
    /// Takes every ray of a packet to its next hit and through the bounce there.
    #[inline(always)]
    fn advance(&self, packet: &mut PathPacket, acc: &mut Accumulators) {
        acc.balance.segments += packet.rays.live as u64;
        self.caster.nearest_hits(&mut packet.rays);
        for (receiver, bins) in self.receivers.iter().zip(&mut acc.histograms) {
            self.score_crossings(packet, receiver, bins);
        }
        if let Some(recorder) = &self.frames {
            recorder.record(packet, &mut acc.frames);
        }
        let free_paths = advance_to_hits(packet, self.caster.size());
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
