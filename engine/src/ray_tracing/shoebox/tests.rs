//! The two ways to follow rays against each other.
#![expect(clippy::expect_used, reason = "a test may stop")]

use super::ShoeboxTracer;
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::BAND_COUNT;
use crate::medium::directivity::Radiator;
use crate::numerics::simd_dispatch::dispatch_simd;
use crate::ray_tracing::emission::FibonacciSphere;
use crate::ray_tracing::ray_batch::{Accumulators, RayBatch};
use crate::ray_tracing::reflectance::BandVector;
use crate::ray_tracing::stream::Stream;
use crate::ray_tracing::trace_rays::{RayCount, RayPlan, Source, trace_context};
use crate::ray_tracing::{ImageCoverage, Receiver};
use crate::scene::{NoAttachments, Scene};

/// Six unlike mirrors and air that takes its part.
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

/// The same rays followed both ways: from stretch to stretch, and from hit to hit.
fn both(length_s: f64, floor_db: f64) -> [Accumulators; 2] {
    let scene = Scene::parse(ROOM, &NoAttachments).expect("a scene of our own").scene;
    let enclosure = Enclosure::new(&scene, &scene.variant(None).expect("as it stands"));
    let speaker = &scene.speakers()[0];
    let radiator = Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
    let source = Source { at: speaker.at, axis: speaker.axis, radiator: &radiator };
    let coverage = ImageCoverage { max_order: 2, max_length_m: 30.0, every_order_m: 0.0 };
    let receiver = |at: glam::DVec3| Receiver { at, direct_m: at.distance(speaker.at), coverage };
    let receivers: Vec<_> = scene.listeners().iter().map(|l| receiver(l.at)).collect();
    let plan = RayPlan { count: RayCount::Fixed(0), seed: 1, length_s, bin_s: 1e-3, floor_db };
    let context = trace_context(&scene, &enclosure, source, &receivers, &plan);
    let directions = FibonacciSphere::new(2000, Stream::new(5, 0));
    let batch = || RayBatch { context: &context, directions, rays: 0..2000, seed: 1, first: 0 };
    let attenuation = context.shoebox.as_ref().expect("a room of attenuation");
    [dispatch_simd(ShoeboxTracer { batch: batch(), attenuation }), dispatch_simd(batch())]
}

/// Where no ray is drawn, both ways are the same sums but for rounding: the energy at each
/// listener, hit by hit, and where it went.
#[test]
fn stretches_are_hits_one_by_one() {
    let [run, packets] = both(0.4, -200.0);
    assert_eq!(run.balance.segments, packets.balance.segments);
    assert_eq!(run.balance.free_paths, packets.balance.free_paths);
    let close = |a: f64, b: f64, within: f64| assert!((a / b - 1.0).abs() < within, "{a} {b}");
    close(run.balance.free_paths_sum_m, packets.balance.free_paths_sum_m, 1e-5);
    close(run.balance.free_paths_sum_m2, packets.balance.free_paths_sum_m2, 1e-5);
    for band in 0..BAND_COUNT {
        close(run.balance.emitted[band], packets.balance.emitted[band], 1e-12);
        // One way stops before what the last hit takes, the other after it.
        let alive = run.balance.truncated[band] / packets.balance.truncated[band];
        assert!((0.8..1.0).contains(&alive), "{alive}");
        close(run.balance.absorbed[band], packets.balance.absorbed[band], 1e-2);
        close(run.balance.air_absorbed[band], packets.balance.air_absorbed[band], 1e-2);
        for (run, packets) in run.histograms.iter().zip(&packets.histograms) {
            // Tenths of a second: a ray may change bins by rounding, and whether it just passes.
            for (run, packets) in run.rows().chunks(100).zip(packets.rows().chunks(100)) {
                let sum = |rows: &[BandVector]| rows.iter().map(|row| f64::from(row[band])).sum();
                let (run, packets): (f64, f64) = (sum(run), sum(packets));
                close(run, packets, 2e-3);
            }
        }
    }
}

/// Where they are drawn the account still balances, and about as many are.
#[test]
fn drawn_rays_stay_in_the_account() {
    let [run, packets] = both(2.0, -40.0);
    assert!(run.balance.imbalance().iter().all(|imbalance| imbalance.abs() < 1e-12));
    assert!(run.balance.roulette.iter().all(|drawn| drawn.abs() > 0.0));
    let ratio = run.balance.segments as f64 / packets.balance.segments as f64;
    assert!((0.9..1.1).contains(&ratio), "{ratio}");
}
