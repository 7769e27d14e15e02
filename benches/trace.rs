//! The list of a furnished room, and whole traces.

use criterion::{Criterion, criterion_group, criterion_main};
use earline_engine::directivity::Radiator;
use earline_engine::enclosure::Enclosure;
use earline_engine::image_sources::{Ear, Reach, Rims, tree};
use earline_engine::scene::{NoAttachments, Scene};
use earline_engine::trace::{Plan, trace};
use std::hint::black_box;
use std::time::Duration;

fn scene(text: &str) -> Option<Scene> {
    Scene::parse(text, &NoAttachments).ok().map(|parsed| parsed.scene)
}

fn whole(c: &mut Criterion) {
    let Some(scene) = scene(include_str!("../scenes/attic.toml")) else { return };
    let Some(state) = scene.state(None) else { return };
    let plan = Plan::everything(&scene);
    let enclosure = Enclosure::new(&scene, &state);
    let speaker = &scene.speakers()[0];
    let radiator = Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
    let ear = Ear {
        enclosure: &enclosure,
        radiator: &radiator,
        speaker: speaker.at,
        listener: scene.listeners()[0].at,
    };
    let mut group = c.benchmark_group("attic");
    let reach = Reach { order: 3, distance_m: 20.0 };
    group.bench_function("paths of order 3 over all faces", |b| {
        b.iter(|| {
            tree::paths(enclosure.faces(), black_box(ear.speaker), ear.listener, reach, Rims::Soft)
        });
    });
    let paths = tree::paths(enclosure.faces(), ear.speaker, ear.listener, reach, Rims::Soft);
    group.bench_function("arrivals of those paths", |b| {
        b.iter(|| paths.iter().map(|path| ear.finite_arrival(black_box(path))).collect::<Vec<_>>());
    });
    group.bench_function("room made ready", |b| b.iter(|| Enclosure::new(&scene, &state)));
    group.bench_function("speaker made ready", |b| {
        b.iter(|| Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid()));
    });
    group.sample_size(20);
    group.bench_function("whole trace", |b| b.iter(|| trace(&scene, &state, black_box(&plan))));
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default().measurement_time(Duration::from_secs(3));
    targets = whole
}
criterion_main!(benches);
