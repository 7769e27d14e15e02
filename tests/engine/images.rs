//! Image sources against published counts, paths and closed forms, and against each other.

use crate::fixtures::cases;
use earline_engine::geometry::Faces;
use earline_engine::image_source::{
    EdgeModel, EnergyPlan, Path, SearchLimit, box_energy, lattice, tree,
};
use earline_engine::medium::bands::BAND_COUNT;
use earline_engine::scene::Room;
use glam::DVec3;
use proptest::prelude::*;

const SPEED: f64 = 343.2;

fn room(length_m: f64, width_m: f64, height_m: f64) -> Room {
    Room { length_m, width_m, height_m }
}

fn order(order: usize) -> SearchLimit {
    SearchLimit { order, distance_m: f64::INFINITY }
}

fn within(distance_m: f64) -> SearchLimit {
    SearchLimit { order: usize::MAX, distance_m }
}

/// Images of exactly order N in a box number 4N² + 2 (closed form; enumerated for Allen & Berkley,
/// JASA 65, 943, 1979).
#[test]
fn images_of_each_order_number_4n2_plus_2() {
    let (s, r) = (DVec3::new(1.0, 1.3, 1.2), DVec3::new(3.5, 2.0, 1.1));
    let paths = lattice::paths(&room(6.0, 4.0, 2.5), s, r, order(5));
    for (n, count) in [(0, 1), (1, 6), (2, 18), (3, 38), (4, 66), (5, 102)] {
        assert_eq!(paths.iter().filter(|p| p.vertices.len() == n).count(), count, "order {n}");
    }
}

/// N(t) = 4πc³t³/(3V) (Schroeder 1996, eq. 11), within 10 % past 50 ms; the exact counts of this
/// room at 10, 15 and 20 ms are 1, 7 and 22 (computed by enumeration).
#[test]
fn images_grow_with_the_cube_of_time() {
    let (s, r) = (DVec3::new(1.0, 1.0, 1.2), DVec3::new(3.5, 2.0, 1.2));
    let count =
        |ms: f64| lattice::paths(&room(6.0, 4.0, 2.5), s, r, within(ms * 1e-3 * SPEED)).len();
    assert_eq!([count(10.0), count(15.0), count(20.0)], [1, 7, 22]);
    for ms in [60.0, 80.0, 100.0] {
        let law = 4.0 / 3.0 * std::f64::consts::PI * (SPEED * ms * 1e-3).powi(3) / 60.0;
        let ratio = count(ms) as f64 / law;
        assert!((ratio - 1.0).abs() < 0.1, "{ms} ms: {ratio}");
    }
}

/// Demonstration geometry of Allen & Berkley 1979 (geometry from memory, delays computed):
/// lengths in samples.
#[test]
fn the_first_paths_of_allen_and_berkley() {
    let s = DVec3::new(30.0, 100.0, 40.0);
    let r = DVec3::new(50.0, 10.0, 60.0);
    let paths = lattice::paths(&room(80.0, 120.0, 100.0), s, r, within(151.0));
    let lengths: Vec<f64> = paths.iter().map(|p| p.image.distance(r)).collect();
    let expected = [
        94.3398, 113.5782, 122.0656, 122.0656, 133.0413, 136.0147, 136.0147, 137.4773, 137.4773,
        150.0000,
    ];
    for (length, expected) in lengths.iter().zip(expected) {
        assert!((length - expected).abs() < 1e-4, "{length} against {expected}");
    }
}

/// In a cube with speaker and listener on its diagonal, paths run through edges and corners.
#[test]
fn paths_through_edges_and_corners_appear_once() {
    let cube = room(3.0, 3.0, 3.0);
    let (s, r) = (DVec3::splat(1.0), DVec3::splat(2.0));
    let by_lattice = lattice::paths(&cube, s, r, order(4));
    assert_eq!(by_lattice.len(), 129, "1 + 6 + 18 + 38 + 66");
    let through_corner = by_lattice.iter().filter(|p| {
        p.vertices.len() == 3 && p.vertices.iter().all(|t| t.point.distance(DVec3::ZERO) < 1e-9)
    });
    assert_eq!(through_corner.count(), 1);
    assert_same(
        &by_lattice,
        &tree::paths(&Faces::bare_box(&cube), s, r, order(4), EdgeModel::Geometric),
    );
}

/// Every path is a mirror path: on its way it keeps its length and reflects as light does.
#[test]
fn unfolded_paths_are_as_long_as_the_straight_line() {
    let (s, r) = (DVec3::new(0.7, 1.3, 1.2), DVec3::new(3.9, 2.2, 1.4));
    for path in lattice::paths(&room(5.1, 3.7, 2.4), s, r, within(40.0)) {
        let mut from = s;
        let mut length = 0.0;
        for to in path.vertices.iter().map(|t| t.point).chain([r]) {
            length += from.distance(to);
            from = to;
        }
        assert!((length - path.image.distance(r)).abs() < 1e-9);
    }
}

/// The energy histogram equals the sum over single images: 1/d² times 1 − α for every bounce.
#[test]
fn energy_of_all_images_is_the_sum_over_paths() {
    let box_room = room(4.6, 3.4, 2.4);
    let (s, r) = (DVec3::new(1.0, 1.1, 1.2), DVec3::new(3.0, 1.9, 1.3));
    let absorption: [[f64; BAND_COUNT]; 6] =
        std::array::from_fn(|w| std::array::from_fn(|b| 0.03 + 0.1 * w as f64 + 0.02 * b as f64));
    let bins = 60;
    let plan = EnergyPlan::from_absorption(absorption, SPEED, 1e-3, bins);
    let energy = box_energy(&box_room, s, r, &plan);

    let mut by_path = vec![[0.0; BAND_COUNT]; bins];
    for path in lattice::paths(&box_room, s, r, within(bins as f64 * 1e-3 * SPEED)) {
        let distance = path.image.distance(r);
        let bin = (distance / SPEED / 1e-3).floor() as usize;
        for band in 0..BAND_COUNT {
            let returned: f64 =
                path.vertices.iter().map(|t| 1.0 - absorption[t.face][band]).product();
            by_path[bin.min(bins - 1)][band] += returned / (distance * distance);
        }
    }
    for (a, b) in energy.iter().flatten().zip(by_path.iter().flatten()) {
        assert!((a - b).abs() <= 1e-9 * b.abs(), "{a} against {b}");
    }
}

fn assert_same(one: &[Path], other: &[Path]) {
    assert_eq!(one.len(), other.len());
    for (a, b) in one.iter().zip(other) {
        assert!(a.image.distance(b.image) < 1e-9);
        assert_eq!(a.vertices.len(), b.vertices.len());
        for (x, y) in a.vertices.iter().zip(&b.vertices) {
            assert_eq!(x.face, y.face);
            assert!(x.point.distance(y.point) < 1e-8, "{} against {}", x.point, y.point);
        }
    }
}

prop_compose! {
    fn any_room()(size in prop::array::uniform3(1.5..15.0f64),
                  s in prop::array::uniform3(0.02..0.98f64),
                  r in prop::array::uniform3(0.02..0.98f64)) -> (Room, DVec3, DVec3) {
        let room = room(size[0], size[1], size[2]);
        (room, DVec3::from(s) * room.size(), DVec3::from(r) * room.size())
    }
}

prop_compose! {
    /// Rooms and places on a coarse grid, where coincidences are the rule.
    fn symmetric_room()(size in prop::array::uniform3(2..6i32),
                        s in prop::array::uniform3(1..4i32),
                        r in prop::array::uniform3(1..4i32)) -> (Room, DVec3, DVec3) {
        let size = DVec3::from(size.map(f64::from));
        let at = |quarters: [i32; 3]| DVec3::from(quarters.map(f64::from)) / 4.0 * size;
        (room(size.x, size.y, size.z), at(s), at(r))
    }
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn lattice_equals_tree((room, s, r) in any_room(), n in 0usize..=4) {
        let faces = Faces::bare_box(&room);
        assert_same(&lattice::paths(&room, s, r, order(n)), &tree::paths(&faces, s, r, order(n), EdgeModel::Geometric));
    }

    #[test]
    fn lattice_equals_tree_where_paths_coincide((room, s, r) in symmetric_room(), n in 0usize..=4) {
        let faces = Faces::bare_box(&room);
        let by_lattice = lattice::paths(&room, s, r, order(n));
        prop_assert_eq!(by_lattice.len(), (0..=n).map(|k| if k == 0 { 1 } else { 4 * k * k + 2 }).sum::<usize>());
        assert_same(&by_lattice, &tree::paths(&faces, s, r, order(n), EdgeModel::Geometric));
    }

    #[test]
    fn reach_limits_length_and_nothing_else((room, s, r) in any_room(), reach in 1.0..60.0f64) {
        let near = lattice::paths(&room, s, r, within(reach));
        let all = lattice::paths(&room, s, r, within(reach * 1.3));
        let expected: Vec<&Path> = all.iter().filter(|p| p.image.distance(r) <= reach).collect();
        prop_assert_eq!(near.iter().collect::<Vec<_>>(), expected);
    }
}
