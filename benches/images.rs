//! Image sources: energies of a bare box, and lists of paths.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use earline_engine::geometry::Faces;
use earline_engine::image_source::{EnergyPlan, SearchLimit, EdgeModel, box_energy, lattice, tree};
use earline_engine::medium::bands::BAND_COUNT;
use earline_engine::scene::Room;
use glam::DVec3;
use std::hint::black_box;
use std::time::Duration;

const ROOM: Room = Room { length_m: 6.0, width_m: 4.0, height_m: 2.5 };
const SPEED_M_S: f64 = 343.2;

fn places() -> (DVec3, DVec3) {
    (DVec3::new(1.2, 1.25, 1.2), DVec3::new(2.28, 2.0, 1.2))
}

/// All images of a 60 m³ box up to 0.3 s, eight bands, into millisecond bins.
fn energy(c: &mut Criterion) {
    let (s, r) = places();
    let absorption = std::array::from_fn(|w| [0.05 + 0.01 * w as f64; BAND_COUNT]);
    let plan = EnergyPlan::from_absorption(absorption, SPEED_M_S, 1e-3, 300);
    let reach = SearchLimit { order: usize::MAX, distance_m: 0.3 * SPEED_M_S };
    let images = lattice::paths(&ROOM, s, r, reach).len();
    let mut group = c.benchmark_group("energy of all images, 60 m3, 0.3 s, 8 bands");
    group.throughput(Throughput::Elements(images as u64));
    group.bench_function("box_energy", |b| {
        b.iter(|| box_energy(black_box(&ROOM), black_box(s), black_box(r), &plan));
    });
    group.finish();
}

/// Paths of order 3 in a bare box by both enumerations.
fn paths(c: &mut Criterion) {
    let (s, r) = places();
    let reach = SearchLimit { order: 3, distance_m: f64::INFINITY };
    let faces = Faces::bare_box(&ROOM);
    let mut group = c.benchmark_group("paths of a bare box, order 3");
    group.bench_function("lattice", |b| b.iter(|| lattice::paths(black_box(&ROOM), s, r, reach)));
    group.bench_function("tree", |b| {
        b.iter(|| tree::paths(black_box(&faces), s, r, reach, EdgeModel::Geometric));
    });
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default().measurement_time(Duration::from_secs(3));
    targets = energy, paths
}
criterion_main!(benches);
