//! The shoebox tracer against the packet tracer.
#![expect(clippy::expect_used, reason = "a test may stop")]

use super::ShoeboxTracer;
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::BAND_COUNT;
use crate::medium::directivity::Radiator;
use crate::numerics::simd_dispatch::dispatch_simd;
use crate::numerics::stream::Stream;
use crate::ray_tracing::band_vector::BandVector;
use crate::ray_tracing::fibonacci_sphere::FibonacciSphere;
use crate::ray_tracing::packet_tracer::PacketTracer;
use crate::ray_tracing::ray_batch::{Accumulators, RayBatch};
use crate::ray_tracing::ray_plan::{ImageCoverage, RayCount, RayPlan, Receiver, Source};
use crate::ray_tracing::trace_context::TraceContext;
use crate::scene::{NoAttachments, Scene};

/// Six unlike surfaces, and air that absorbs.
const ROOM: &str = r#"
    [room]
    length = 5.3
    width = 3.9
    height = 2.6
    [surfaces]
    front = "skin"
    back = "felt"
    left = "skin"
    right = "skin"
    floor = "skin"
    ceiling = "felt"
    [[material]]
    name = "skin"
    absorption = [0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.08, 0.1]
    source = "test"
    [[material]]
    name = "felt"
    absorption = [0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6]
    source = "test"
    [[speaker]]
    name = "s"
    at = [1.1, 1.3, 1.2]
    directivity = { kind = "omni" }
    [[listener]]
    name = "one"
    at = [3.7, 2.2, 1.3]
    [[listener]]
    name = "two"
    at = [2.6, 1.1, 1.1]
"#;

/// Results of the shoebox tracer and of the packet tracer for the same rays.
fn trace_both(length_s: f64, floor_db: f64) -> [Accumulators; 2] {
    let scene = Scene::parse(ROOM, &NoAttachments).expect("a scene of our own").scene;
    let enclosure = Enclosure::new(&scene, &scene.variant(None).expect("as it stands"));
    let speaker = &scene.speakers()[0];
    let radiator = Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
    let source = Source { at: speaker.at, axis: speaker.axis, radiator: &radiator };
    let coverage = ImageCoverage { max_order: 2, max_length_m: 30.0, every_order_m: 0.0 };
    let receiver = |at: glam::DVec3| Receiver { at, direct_m: at.distance(speaker.at), coverage };
    let receivers: Vec<_> = scene.listeners().iter().map(|l| receiver(l.at)).collect();
    let plan = RayPlan { count: RayCount::Fixed(0), seed: 1, length_s, bin_s: 1e-3, floor_db };
    let context = TraceContext::new(&scene, &enclosure, source, &receivers, &plan);
    let directions = FibonacciSphere::new(2000, Stream::new(5, 0));
    let batch = || RayBatch { context: &context, directions, rays: 0..2000, seed: 1, first: 0 };
    let attenuation = context.shoebox.as_ref().expect("an empty shoebox");
    [
        dispatch_simd(ShoeboxTracer { batch: batch(), attenuation }),
        dispatch_simd(PacketTracer(batch())),
    ]
}

/// Without Russian roulette both give the same sums but for rounding: the energy at each receiver and
/// the balance.
#[test]
fn the_shoebox_is_traced_as_packets_are() {
    let [shoebox, packets] = trace_both(0.4, -200.0);
    assert_eq!(shoebox.balance.segments, packets.balance.segments);
    assert_eq!(shoebox.balance.free_paths, packets.balance.free_paths);
    let close = |a: f64, b: f64, within: f64| assert!((a / b - 1.0).abs() < within, "{a} {b}");
    close(shoebox.balance.free_paths_sum_m, packets.balance.free_paths_sum_m, 1e-5);
    close(shoebox.balance.free_paths_sum_m2, packets.balance.free_paths_sum_m2, 1e-5);
    for band in 0..BAND_COUNT {
        close(shoebox.balance.emitted[band], packets.balance.emitted[band], 1e-12);
        // One stops before the absorption of the last hit, the other after it.
        let truncated = shoebox.balance.truncated[band] / packets.balance.truncated[band];
        assert!((0.8..1.0).contains(&truncated), "{truncated}");
        close(shoebox.balance.absorbed[band], packets.balance.absorbed[band], 1e-2);
        close(shoebox.balance.air_absorbed[band], packets.balance.air_absorbed[band], 1e-2);
        for (shoebox, packets) in shoebox.histograms.iter().zip(&packets.histograms) {
            // Tenths of a second: a ray may change bins by rounding, and whether it just passes.
            for (shoebox, packets) in shoebox.rows().chunks(100).zip(packets.rows().chunks(100)) {
                let sum = |rows: &[BandVector]| rows.iter().map(|row| f64::from(row[band])).sum();
                let (shoebox, packets): (f64, f64) = (sum(shoebox), sum(packets));
                close(shoebox, packets, 2e-3);
            }
        }
    }
}

/// With Russian roulette the balance still closes, and about as many segments are traced.
#[test]
fn roulette_keeps_the_balance() {
    let [shoebox, packets] = trace_both(2.0, -40.0);
    assert!(shoebox.balance.imbalance().iter().all(|imbalance| imbalance.abs() < 1e-12));
    assert!(shoebox.balance.roulette.iter().all(|roulette| roulette.abs() > 0.0));
    let ratio = shoebox.balance.segments as f64 / packets.balance.segments as f64;
    assert!((0.9..1.1).contains(&ratio), "{ratio}");
}
