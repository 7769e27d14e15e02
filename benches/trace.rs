//! The list of a furnished room, and whole traces.

#![expect(clippy::expect_used, reason = "a bench without its scene has nothing to measure")]

use criterion::{Criterion, criterion_group, criterion_main};
use earline_engine::explore::placement::{
    Bounds, Layout, PlacementPlan, Weights, optimize_placement,
};
use earline_engine::geometry::Rectangle;
use earline_engine::geometry::diffraction::Aperture;
use earline_engine::geometry::enclosure::Enclosure;
use earline_engine::image_source::{Arrival, EdgeModel, Path, Propagation, SearchLimit, tree};
use earline_engine::medium::bands::FrequencyGrid;
use earline_engine::medium::directivity::Radiator;
use earline_engine::metrics::criteria::EARLY_LIMITS;
use earline_engine::scene::{ListenerId, NoAttachments, Scene, SpeakerId};
use earline_engine::simulate::{Request, simulate};
use glam::DVec3;
use num_complex::Complex64;
use std::hint::black_box;
use std::time::Duration;

fn scene(text: &str) -> Scene {
    Scene::parse(text, &NoAttachments).expect("a scene of our own").scene
}

/// The first speaker at the first seat of a scene.
struct Setting<'a> {
    enclosure: &'a Enclosure<'a>,
    radiator: Radiator,
    speaker: DVec3,
    listener: DVec3,
}

impl<'a> Setting<'a> {
    fn new(scene: &Scene, enclosure: &'a Enclosure<'a>) -> Self {
        let speaker = &scene.speakers()[0];
        let radiator =
            Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
        let listener = scene.listeners()[0].at;
        Self { enclosure, radiator, speaker: speaker.at, listener }
    }

    fn propagation(&self) -> Propagation<'_> {
        let Self { enclosure, radiator, speaker, listener } = self;
        Propagation { enclosure, radiator, speaker: *speaker, listener: *listener }
    }

    fn paths(&self) -> Vec<Path> {
        // 50 ms after the direct sound.
        let reach =
            SearchLimit { order: 3, distance_m: self.speaker.distance(self.listener) + 17.0 };
        tree::paths(
            self.enclosure.faces(),
            self.speaker,
            self.listener,
            reach,
            EdgeModel::Diffracting,
        )
    }

    fn list(&self) -> Vec<Arrival> {
        let propagation = self.propagation();
        self.paths().iter().map(|path| propagation.diffracted_arrival(path)).collect()
    }
}

fn attic(c: &mut Criterion) {
    let scene = scene(include_str!("../scenes/attic.toml"));
    let state = scene.variant(None).expect("the whole scene is a state");
    let plan = Request::everything(&scene);
    let enclosure = Enclosure::new(&scene, &state);
    let setting = Setting::new(&scene, &enclosure);
    let mut group = c.benchmark_group("attic");
    group.bench_function("paths of order 3 over all faces", |b| {
        b.iter(|| black_box(&setting).paths());
    });
    let (propagation, paths) = (setting.propagation(), setting.paths());
    group.bench_function("arrivals of those paths", |b| {
        b.iter(|| {
            paths
                .iter()
                .map(|path| propagation.diffracted_arrival(black_box(path)))
                .collect::<Vec<_>>()
        });
    });
    group.bench_function("room made ready", |b| b.iter(|| Enclosure::new(&scene, &state)));
    let speaker = &scene.speakers()[0];
    group.bench_function("speaker made ready", |b| {
        b.iter(|| Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid()));
    });
    group.sample_size(20);
    group.bench_function("whole trace", |b| {
        b.iter(|| simulate(&scene, &state, black_box(&plan), &()));
    });
    group.finish();
}

/// The whole list of one speaker at one seat, on one thread, in a room as full as it gets.
fn crowded(c: &mut Criterion) {
    let scene = scene(include_str!("crowded.toml"));
    let state = scene.variant(None).expect("the whole scene is a state");
    let enclosure = Enclosure::new(&scene, &state);
    let propagation = Setting::new(&scene, &enclosure);
    let mut group = c.benchmark_group("30 panels, 3 screens, a desk, two cabinets");
    group.bench_function("list of order 3, 50 ms", |b| b.iter(|| black_box(&propagation).list()));
    group.finish();
}

/// A short search for a layout: 100 of them, two speakers at two heads.
fn layouts(c: &mut Criterion) {
    let scene = scene(include_str!("../scenes/attic.toml"));
    let (pair, seats) = ([0, 1].map(SpeakerId::new), [0, 1].map(ListenerId::new));
    let layout = Layout::of(&scene, pair, seats[0]).expect("a pair and a seat");
    let plan = PlacementPlan {
        variant: None,
        pair,
        listeners: seats.to_vec(),
        moving_furniture: vec![0],
        bounds: Bounds::around(&scene, &layout, &seats),
        equilateral: true,
        weights: Weights::default(),
        limit: &EARLY_LIMITS[0],
        layouts: 100,
        seed: 1,
    };
    let mut group = c.benchmark_group("attic");
    group.sample_size(10);
    group.bench_function("search of 100 layouts", |b| {
        b.iter(|| optimize_placement(&scene, &NoAttachments, black_box(&plan), &|| true, &|_| {}));
    });
    group.finish();
}

/// What one patch of a wall passes, with the mirror point on it and 1 m beside it.
fn patch(c: &mut Criterion) {
    let rectangle = Rectangle {
        centre: DVec3::ZERO,
        normal: DVec3::Z,
        along: DVec3::X,
        half_along_m: 0.6,
        half_across_m: 0.3,
    };
    let rim = rectangle.rim();
    let mut out = vec![Complex64::ZERO; FrequencyGrid::new().len()];
    let mut group = c.benchmark_group("one patch, 96 frequencies");
    for (name, outside_m) in [("mirror point on it", 0.0), ("mirror point 1 m beside it", 1.6)] {
        let ends = [DVec3::new(outside_m, 0.0, -1.5), DVec3::new(outside_m, 0.1, 2.0)];
        group.bench_function(name, |b| {
            b.iter(|| {
                let [from, to] = black_box(ends);
                Aperture::new(from, to, &rim, true).fraction(343.2, &mut out);
            });
        });
    }
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default().measurement_time(Duration::from_secs(3));
    targets = patch, attic, crowded, layouts
}
criterion_main!(benches);
