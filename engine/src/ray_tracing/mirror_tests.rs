//! The two ways to follow rays against each other.
#![expect(clippy::expect_used, reason = "a test may stop")]

use super::chunk::{Chunk, Tally};
use super::follow::{RayCount, RayPlan, Source, course};
use super::launch::Lattice;
use super::mirror_run::MirrorRun;
use super::skin::Row;
use super::stream::Stream;
use super::{Held, Receiver};
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::BAND_COUNT;
use crate::medium::directivity::Radiator;
use crate::numerics::simd_dispatch::on_widest;
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
fn both(length_s: f64, floor_db: f64) -> [Tally; 2] {
    let scene = Scene::parse(ROOM, &NoAttachments).expect("a scene of our own").scene;
    let enclosure = Enclosure::new(&scene, &scene.variant(None).expect("as it stands"));
    let speaker = &scene.speakers()[0];
    let radiator = Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
    let source = Source { at: speaker.at, axis: speaker.axis, radiator: &radiator };
    let held = Held { order: 2, list_m: 30.0, every_order_m: 0.0 };
    let receiver = |at: glam::DVec3| Receiver { at, direct_m: at.distance(speaker.at), held };
    let receivers: Vec<_> = scene.listeners().iter().map(|l| receiver(l.at)).collect();
    let plan = RayPlan { count: RayCount::Fixed(0), seed: 1, length_s, bin_s: 1e-3, floor_db };
    let course = course(&scene, &enclosure, source, &receivers, &plan);
    let lattice = Lattice::new(2000, Stream::new(5, 0));
    let chunk = || Chunk { course: &course, lattice, rays: 0..2000, seed: 1, first: 0 };
    let mirrors = course.mirrors.as_ref().expect("a room of mirrors");
    [on_widest(MirrorRun { chunk: chunk(), mirrors }), on_widest(chunk())]
}

/// Where no ray is drawn, both ways are the same sums but for rounding: the energy at each
/// listener, hit by hit, and where it went.
#[test]
fn stretches_are_hits_one_by_one() {
    let [run, packets] = both(0.4, -200.0);
    assert_eq!(run.ledger.segments, packets.ledger.segments);
    assert_eq!(run.ledger.flights, packets.ledger.flights);
    let close = |a: f64, b: f64, within: f64| assert!((a / b - 1.0).abs() < within, "{a} {b}");
    close(run.ledger.flights_m, packets.ledger.flights_m, 1e-5);
    close(run.ledger.flights_m2, packets.ledger.flights_m2, 1e-5);
    for band in 0..BAND_COUNT {
        close(run.ledger.emitted[band], packets.ledger.emitted[band], 1e-12);
        // One way stops before what the last hit takes, the other after it.
        let alive = run.ledger.alive[band] / packets.ledger.alive[band];
        assert!((0.8..1.0).contains(&alive), "{alive}");
        close(run.ledger.absorbed[band], packets.ledger.absorbed[band], 1e-2);
        close(run.ledger.air[band], packets.ledger.air[band], 1e-2);
        for (run, packets) in run.histograms.iter().zip(&packets.histograms) {
            // Tenths of a second: a ray may change bins by rounding, and whether it just passes.
            for (run, packets) in run.rows().chunks(100).zip(packets.rows().chunks(100)) {
                let sum = |rows: &[Row]| rows.iter().map(|row| f64::from(row[band])).sum();
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
    assert!(run.ledger.imbalance().iter().all(|imbalance| imbalance.abs() < 1e-12));
    assert!(run.ledger.drawn.iter().all(|drawn| drawn.abs() > 0.0));
    let ratio = run.ledger.segments as f64 / packets.ledger.segments as f64;
    assert!((0.9..1.1).contains(&ratio), "{ratio}");
}
