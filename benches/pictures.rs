//! The pictures of a furnished room's first seat: laying them out, and writing both kinds of file.

use criterion::{Criterion, criterion_group, criterion_main};
use earline_cli::{Drawing, seat_drawings};
use earline_engine::metrics::criteria::EARLY_LIMITS;
use earline_engine::scene::{NoAttachments, Scene};
use earline_engine::simulate::{Request, simulate};
use std::hint::black_box;
use std::time::Duration;

fn pictures(c: &mut Criterion) {
    let text = include_str!("../scenes/attic.toml");
    let Ok(parsed) = Scene::parse(text, &NoAttachments) else { return };
    let scene = parsed.scene;
    let Some(state) = scene.variant(None) else { return };
    let Ok(found) = simulate(&scene, &state, &Request::everything(&scene), &()) else { return };
    let Some(seat) = scene.listener_ids().next() else { return };
    let draw = || seat_drawings(&scene, &state, black_box(&found), seat, &EARLY_LIMITS[0]);
    let drawings = draw();

    let mut group = c.benchmark_group("attic, pictures of the first seat");
    group.bench_function("drawing", |b| b.iter(draw));
    group.bench_function("SVG", |b| {
        b.iter(|| drawings.iter().map(Drawing::svg).collect::<Vec<_>>());
    });
    group.sample_size(10);
    group.bench_function("PNG", |b| {
        b.iter(|| drawings.iter().map(Drawing::png).collect::<Vec<_>>());
    });
    group.bench_function("all of it", |b| {
        b.iter(|| draw().iter().map(|one| (one.svg(), one.png())).collect::<Vec<_>>());
    });
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default().measurement_time(Duration::from_secs(5));
    targets = pictures
}
criterion_main!(benches);
