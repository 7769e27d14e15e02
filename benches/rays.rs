//! Segments a second of the ray tracer, from a bare box to twenty thousand faces, and a listening
//! room from end to end.

#![expect(clippy::expect_used, reason = "a bench without its scene has nothing to measure")]

use criterion::measurement::WallTime;
use criterion::{BenchmarkGroup, Criterion, Throughput, criterion_group, criterion_main};
use earline_engine::geometry::enclosure::Enclosure;
use earline_engine::medium::directivity::Radiator;
use earline_engine::ray_tracing::{ImageCoverage, RayCount, RayPlan, RayTrace, Receiver, Source, trace_rays};
use earline_engine::scene::{NoAttachments, Scene};
use glam::DVec3;
use std::fmt::Write;
use std::time::Duration;

/// A scene in one of its states, with its first speaker.
struct Setting<'a> {
    scene: &'a Scene,
    enclosure: Enclosure<'a>,
    radiator: Radiator,
}

impl<'a> Setting<'a> {
    fn new(scene: &'a Scene, variant: Option<&str>) -> Self {
        let state = scene.variant(variant).expect("a state of the scene");
        let enclosure = Enclosure::new(scene, &state);
        let speaker = &scene.speakers()[0];
        let radiator =
            Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
        Self { scene, enclosure, radiator }
    }

    /// Rays from the first speaker to so many of the listeners.
    fn trace(&self, listeners: usize, plan: &RayPlan) -> RayTrace {
        let speaker = &self.scene.speakers()[0];
        let source = Source { at: speaker.at, axis: speaker.axis, radiator: &self.radiator };
        let receivers: Vec<Receiver> = self.scene.listeners()[..listeners]
            .iter()
            .map(|l| Receiver {
                at: l.at,
                direct_m: l.at.distance(speaker.at),
                coverage: ImageCoverage { max_order: 3, max_length_m: 20.0, every_order_m: 0.0 },
            })
            .collect();
        trace_rays(self.scene, &self.enclosure, source, &receivers, plan, &|_| {})
    }
}

fn plan(rays: u64, floor_db: f64) -> RayPlan {
    RayPlan { count: RayCount::Fixed(rays), seed: 1, length_s: 6.0, bin_s: 1e-3, floor_db }
}

/// Criterion calls this a throughput of elements: here they are segments.
fn measure(
    group: &mut BenchmarkGroup<WallTime>,
    name: &str,
    threads: usize,
    trace: impl Fn() -> RayTrace + Sync,
) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.expect("a pool of threads");
    group.throughput(Throughput::Elements(pool.install(&trace).balance.segments));
    group.bench_function(name, |b| b.iter(|| pool.install(&trace)));
}

/// A box of plaster and wood; `inside` goes into its scene.
fn box_scene(model: &str, air: bool, inside: &str) -> Scene {
    let mut text = format!(
        "[room]\nlength = 6.0\nwidth = 4.6\nheight = 2.8\n[air]\nabsorption = {air}\n[model]\nreflection = \"{model}\"\n[surfaces]\n"
    );
    let surfaces = ["front", "back", "left", "right", "floor", "ceiling"];
    for surface in surfaces {
        writeln!(text, "{surface} = \"skin {surface}\"").expect("room for text");
    }
    for (surface, hardness) in surfaces.iter().zip(1..) {
        let absorption: Vec<String> =
            (1..9).map(|band| format!("{}", 0.003 * f64::from(hardness * band))).collect();
        writeln!(
            text,
            "[[material]]\nname = \"skin {surface}\"\nabsorption = [{}]\nsource = \"bench\"",
            absorption.join(", ")
        )
        .expect("room for text");
    }
    text += "[[speaker]]\nname = \"s\"\nat = [1.3, 1.4, 1.2]\ndirectivity = { kind = \"omni\" }\n";
    text += "[[listener]]\nname = \"l\"\nat = [3.7, 2.5, 1.3]\n";
    text += inside;
    Scene::parse(&text, &NoAttachments).expect("a scene of our own").scene
}

/// So many small boxes that stand clear on an uneven grid, away from speaker and listener.
fn clutter(per_side: [u32; 3], side_m: f64) -> String {
    let room = DVec3::new(6.0, 4.6, 2.8);
    let mut text = String::new();
    let [nx, ny, nz] = per_side;
    let cells = (0..nx * ny * nz).map(|i| [i / (ny * nz), i / nz % ny, i % nz]);
    for cell in cells {
        let cell = DVec3::from(cell.map(f64::from));
        let counts = DVec3::from(per_side.map(f64::from));
        // Shifts without a pattern that a grid of boxes would show.
        let shift = (cell.dot(DVec3::new(0.618, 0.414, 0.732)) * DVec3::new(1.0, 1.7, 2.3)).fract();
        let corner = (cell + 0.1 + 0.8 * shift) / counts * (room - side_m);
        let middle = corner + side_m / 2.0;
        let near = |point: DVec3| middle.distance(point) < 0.2 + side_m;
        if near(DVec3::new(1.3, 1.4, 1.2)) || near(DVec3::new(3.7, 2.5, 1.3)) {
            continue;
        }
        writeln!(
            text,
            "[[furniture]]\nname = \"box {cell}\"\ncorner = [{:.4}, {:.4}, {:.4}]\nsize = [{side_m}, {side_m}, {side_m}]\nmaterial = \"skin front\"",
            corner.x, corner.y, corner.z
        )
        .expect("room for text");
    }
    text
}

fn bare_box(c: &mut Criterion) {
    let mut group = c.benchmark_group("bare box, one thread");
    for (name, model, air, listeners) in [
        ("even walls, still air, nobody listens", "constant", false, 0),
        ("even walls, still air, one listener", "constant", false, 1),
        ("walls by angle, still air, nobody listens", "angle", false, 0),
        ("walls by angle, air, one listener", "angle", true, 1),
    ] {
        let scene = box_scene(model, air, "");
        let setting = Setting::new(&scene, None);
        measure(&mut group, name, 1, || setting.trace(listeners, &plan(16_384, -60.0)));
    }
}

fn furnished(c: &mut Criterion) {
    let mut group = c.benchmark_group("faces inside, one thread");
    for (per_side, side_m, rays) in [([5, 1, 2], 0.5, 16_384), ([15, 15, 15], 0.08, 4096)] {
        let scene = box_scene("constant", false, &clutter(per_side, side_m));
        let setting = Setting::new(&scene, None);
        let faces = setting.enclosure.faces().all().len() - 6;
        for listeners in [0, 1] {
            let name = format!("{faces} faces, {listeners} listening");
            measure(&mut group, &name, 1, || setting.trace(listeners, &plan(rays, -60.0)));
        }
    }
}

fn listening_room(c: &mut Criterion) {
    let scene = Scene::parse(include_str!("../scenes/attic.toml"), &NoAttachments)
        .expect("a scene of our own")
        .scene;
    let mut group = c.benchmark_group("listening room, 50 000 rays to -60 dB");
    for state in ["treated", "bare"] {
        let setting = Setting::new(&scene, Some(state));
        for (listeners, threads) in [(2, 1), (2, 2), (1, 1), (0, 1)] {
            let name = format!("{state}, {listeners} listening, {threads} threads");
            measure(&mut group, &name, threads, || setting.trace(listeners, &plan(50_000, -60.0)));
        }
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(2));
    targets = bare_box, furnished, listening_room
}
criterion_main!(benches);
