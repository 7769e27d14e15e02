//! The whole trace against a worked example, and properties that any room must have.

use crate::fixtures::{ATTIC, BoxRoom, cases, parsed};
use earline_engine::image_source::Reflection;
use earline_engine::simulate::{PairSimulation, Request, Simulation, simulate};
use proptest::prelude::*;

fn trace_all(text: &str) -> Simulation {
    let scene = parsed(text);
    simulate(&scene, &scene.variant(None).unwrap(), &Request::everything(&scene), &()).unwrap()
}

/// The list alone, with next to no curve.
fn trace_list(text: &str) -> Simulation {
    let scene = parsed(text);
    let plan = Request { window_s: 0.025, response: None, ..Request::everything(&scene) };
    simulate(&scene, &scene.variant(None).unwrap(), &plan, &()).unwrap()
}

/// Worked example B (its table leaves out the left-right pair at 7.433 m): 6 × 4 × 2.5 m, rigid, c = 343.2 m/s. Computed from the mirror-image formula
/// of Allen & Berkley 1979: path in metres, arrival and delay in milliseconds, level in decibels.
const EXAMPLE_B: [(&str, f64, f64, f64, f64); 17] = [
    ("", 2.69258, 7.8455, 0.0, 0.0),
    ("floor", 3.60694, 10.5097, 2.6642, -2.539),
    ("ceiling", 3.74299, 10.9062, 3.0606, -2.861),
    ("left", 3.90512, 11.3786, 3.5330, -3.229),
    ("left floor", 4.58367, 13.3557, 5.5102, -4.621),
    ("front", 4.60977, 13.4317, 5.5862, -4.670),
    ("left ceiling", 4.69148, 13.6698, 5.8243, -4.823),
    ("front floor", 5.19711, 15.1431, 7.2976, -5.712),
    ("front ceiling", 5.29245, 15.4209, 7.5754, -5.870),
    ("front left", 5.40833, 15.7585, 7.9130, -6.058),
    ("right", 5.59017, 16.2884, 8.4429, -6.345),
    ("floor ceiling", 5.67891, 16.5469, 8.7014, -6.482),
    ("floor ceiling", 5.67891, 16.5469, 8.7014, -6.482),
    ("right floor", 6.08358, 17.7261, 9.8805, -7.080),
    ("right ceiling", 6.16523, 17.9639, 10.1184, -7.196),
    ("front right", 6.72681, 19.6003, 11.7547, -7.953),
    ("back", 7.56637, 22.0465, 14.2010, -8.974),
];

#[test]
fn worked_example_b_is_reproduced() {
    let traced =
        trace_all(&BoxRoom::alike([6.0, 4.0, 2.5], [1.0, 1.0, 1.2], [3.5, 2.0, 1.2], 0.0).text());
    let pair = &traced.pairs[0];
    assert!((pair.direct.distance_m - EXAMPLE_B[0].1).abs() < 1e-4 / 2.0);
    assert!((pair.direct.time_s * 1e3 - EXAMPLE_B[0].2).abs() < 1e-3);
    for row in &EXAMPLE_B[1..] {
        let hit = |r: &&Reflection| {
            let mut hit: Vec<_> = r.arrival.bounces.iter().map(|b| b.face).collect();
            hit.sort();
            hit.into_iter().map(face_name).collect::<Vec<_>>().join(" ") == row.0
        };
        let close = |r: &&Reflection| (r.arrival.distance_m - row.1).abs() < 1e-4;
        let found: Vec<_> = pair.reflections.iter().filter(hit).filter(close).collect();
        assert_eq!(
            found.len(),
            EXAMPLE_B.iter().filter(|other| other.0 == row.0).count(),
            "{row:?}"
        );
        let reflection = found[0];
        let arrival_ms = (pair.direct.time_s + reflection.delay_s) * 1e3;
        assert!((arrival_ms - row.2).abs() < 1e-3);
        assert!((reflection.delay_s * 1e3 - row.3).abs() < 1e-3);
        assert!((reflection.level_db - row.4).abs() < 1e-3);
        for level in reflection.band_level_db {
            assert!((level - row.4).abs() < 1e-3);
        }
    }
}

fn face_name(face: earline_engine::geometry::FaceId) -> &'static str {
    match face {
        earline_engine::geometry::FaceId::Surface(surface) => surface.name(),
        _ => "other",
    }
}

/// A scene with everything in it, for properties of whole traces.
const FURNISHED: &str = r#"
title = "furnished"
[room]
length = 5.8
width = 4.1
height = 2.45
[surfaces]
front = "brick"
back = "board"
left = "board"
right = "board"
floor = "board"
ceiling = "board"
[[material]]
name = "brick"
absorption = 0.03
scattering = 0.1
[[material]]
name = "board"
absorption = [0.29, 0.29, 0.1, 0.05, 0.04, 0.07, 0.09, 0.09]
[[material]]
name = "wool"
porous = { thickness = 0.1, flow_resistivity = 12000, gap = 0.05 }
[[speaker]]
name = "a"
at = [1.2, 1.25, 1.2]
aim = "seat"
directivity = { kind = "two-way", woofer = 0.165, tweeter = 0.025, spacing = 0.17, crossover_hz = 2200, cabinet = [0.34, 0.22, 0.27] }
[[speaker]]
name = "b"
at = [1.2, 2.85, 1.2]
aim = "seat"
directivity = { kind = "cardioid" }
[[listener]]
name = "seat"
at = [2.2, 2.05, 1.2]
[[listener]]
name = "standing"
at = [2.2, 2.05, 1.62]
[[panel]]
name = "side"
on = "left"
centre = [1.6, 1.2]
size = [1.2, 0.6]
material = "wool"
[[screen]]
name = "cloud"
centre = [1.6, 2.05, 2.2]
size = [1.8, 1.2]
facing = "down"
material = "wool"
[[furniture]]
name = "desk"
corner = [1.35, 1.25, 0.7]
size = [0.6, 1.6, 0.04]
material = "board"
"#;

#[test]
fn one_thread_and_eight_trace_the_same() {
    let on_threads = |n: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(n).build().unwrap();
        pool.install(|| trace_all(FURNISHED))
    };
    let one = on_threads(1);
    assert_eq!(one, on_threads(8));
    assert_eq!(one.pairs.len(), 4);
}

/// The curve shows the direct sound at 0 dB, and a reflection that stands alone at its own level.
#[test]
fn the_curve_shows_what_the_list_says() {
    // A long way from everything but the floor: the floor bounce stands 5 ms clear on both sides.
    let text = BoxRoom::alike([30.0, 20.0, 12.0], [15.0, 10.0, 3.0], [18.0, 10.0, 3.0], 0.3).text();
    let pair = &trace_all(&text).pairs[0];
    let curve = pair.energy_time().unwrap();
    let at = |seconds: f64| {
        let index = ((seconds - curve.start_s) / curve.step_s).round() as usize;
        curve.level_db[index - 3..=index + 3].iter().copied().fold(f64::MIN, f64::max)
    };
    // Half a step off the top of a 1 ms Hann window costs at most 20·lg cos(π/2 · 0.05/0.5).
    let step_db = 0.108;
    let shown = at(pair.direct.time_s);
    assert!(-step_db < shown && shown < 1e-9, "{shown}");
    let floor = &pair.reflections[0];
    assert!(floor.delay_s > 5e-3);
    let shown = at(pair.direct.time_s + floor.delay_s);
    assert!((shown - floor.level_db).abs() < step_db, "{shown} against {}", floor.level_db);
    assert!(curve.level_db[10] < -60.0, "silence before the direct sound");
}

#[test]
fn a_fully_absorbing_room_has_only_direct_sound() {
    for law in ["constant", "angle"] {
        let text = BoxRoom::alike([6.0, 4.0, 2.5], [1.0, 1.0, 1.2], [3.5, 2.0, 1.2], 1.0)
            .text()
            .replace("constant", law);
        let pair = &trace_all(&text).pairs[0];
        assert!(pair.reflections.is_empty());
        assert_eq!(pair.energy_time().unwrap().arrivals.len(), 1);
    }
}

/// Where the images that are followed end, the curve does not show an end of its own: in a hard
/// room, whose energy hardly falls, the last milliseconds are no louder than those before, in any
/// band. (Broken off sharply, 63 Hz rises by more than 10 dB.)
#[test]
fn the_end_of_a_curve_makes_no_sound() {
    let text = BoxRoom::alike([6.0, 4.0, 2.5], [1.0, 1.0, 1.2], [3.5, 2.0, 1.2], 0.19).text();
    let simulation = trace_all(&text);
    let curve = simulation.pairs[0].energy_time().unwrap();
    let steps = curve.level_db.len();
    for band in &curve.band_level_db {
        let loudest =
            |range: std::ops::Range<usize>| band[range].iter().copied().fold(f64::MIN, f64::max);
        let (before, end) = (loudest(steps - 350..steps - 100), loudest(steps - 100..steps));
        assert!(end < before + 3.0, "{before} dB, then {end} dB");
    }
}

/// What a long window costs is bounded by the order of the list, not by the volume of the room: a
/// cupboard of 0.2 m³ has some 750 million images within a second.
#[test]
fn a_long_window_in_a_small_room_costs_no_more_than_its_list() {
    let cupboard = BoxRoom::alike([0.6, 0.6, 0.6], [0.1, 0.2, 0.3], [0.4, 0.3, 0.3], 0.01).text();
    let corridor =
        BoxRoom::alike([100.0, 0.5, 0.5], [0.5, 0.2, 0.2], [99.5, 0.3, 0.3], 0.01).text();
    for text in [cupboard, corridor] {
        let scene = parsed(&text);
        let plan = Request { window_s: 1.0, ..Request::everything(&scene) };
        let traced = simulate(&scene, &scene.variant(None).unwrap(), &plan, &()).unwrap();
        let pair = &traced.pairs[0];
        assert_eq!(pair.reflections.len(), 6 + 18 + 38, "everything up to the third order");
        assert!(pair.energy_time().unwrap().arrivals.len() < 5000);
        assert!(pair.energy_time().unwrap().level_db.iter().all(|level| level.is_finite()));
    }
}

#[test]
fn a_desk_between_shadows_and_reflects() {
    let with_desk = trace_all(FURNISHED);
    let hits_desk = |pair: &PairSimulation| {
        pair.reflections.iter().any(|r| {
            r.arrival.bounces.iter().any(|b| {
                matches!(b.face, earline_engine::geometry::FaceId::Furniture { index: 0, .. })
            })
        })
    };
    assert!(hits_desk(&with_desk.pairs[0]));
    let blocked = FURNISHED
        .replace("corner = [1.35, 1.25, 0.7]", "corner = [1.6, 1.25, 0.7]")
        .replace("size = [0.6, 1.6, 0.04]", "size = [0.1, 1.6, 1.0]");
    let pairs = trace_all(&blocked).pairs;
    assert!(pairs[0].direct.occluded && pairs[1].direct.occluded);
}

/// Times and levels of a list, which is what must not change.
fn times_and_levels(pair: &PairSimulation) -> Vec<(f64, f64)> {
    pair.reflections.iter().map(|r| (r.delay_s, r.level_db)).collect()
}

fn assert_close(one: &[(f64, f64)], other: &[(f64, f64)]) {
    assert_eq!(one.len(), other.len());
    for (a, b) in one.iter().zip(other) {
        assert!((a.0 - b.0).abs() < 1e-12 && (a.1 - b.1).abs() < 1e-9, "{a:?} against {b:?}");
    }
}

prop_compose! {
    fn any_box()(size in prop::array::uniform3(2.0..9.0f64),
                 s in prop::array::uniform3(0.05..0.95f64),
                 l in prop::array::uniform3(0.05..0.95f64),
                 absorption in 0.0..0.98f64) -> ([f64; 3], [f64; 3], [f64; 3], f64) {
        let within = |share: [f64; 3]| std::array::from_fn(|i| share[i] * size[i]);
        (size, within(s), within(l), absorption)
    }
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn swapping_speaker_and_listener_changes_no_time_and_no_level(
        (size, s, l, absorption) in any_box(), angle in any::<bool>()
    ) {
        prop_assume!((0..3).map(|i| (s[i] - l[i]).powi(2)).sum::<f64>() > 0.04);
        let law = if angle { "angle" } else { "constant" };
        let there = BoxRoom::alike(size, s, l, absorption).text().replace("constant", law);
        let back = BoxRoom::alike(size, l, s, absorption).text().replace("constant", law);
        let (there, back) = (trace_list(&there), trace_list(&back));
        assert_close(&times_and_levels(&there.pairs[0]), &times_and_levels(&back.pairs[0]));
    }

    #[test]
    fn more_absorption_never_raises_a_level((size, s, l, absorption) in any_box(), more in 0.001..0.5f64) {
        prop_assume!((0..3).map(|i| (s[i] - l[i]).powi(2)).sum::<f64>() > 0.04);
        assert_no_level_rises(size, s, l, absorption, more);
    }

    #[test]
    fn mirroring_the_room_mirrors_everything(x in 2.0..5.0f64, y in 0.4..3.7f64) {
        assert_mirrored(x, y);
    }
}

/// Rooms in which these properties did not hold once.
#[test]
fn what_failed_once_holds() {
    assert_mirrored(2.0, 0.4);
    let size = [2.0, 7.022_801_737_141_957_5, 2.0];
    let (s, l) = ([0.1, 4.701_136_925_797_581, 0.1], [0.1, 0.351_140_086_857_097_9, 0.1]);
    assert_no_level_rises(size, s, l, 0.886_873_670_398_957_6, 0.480_503_030_022_282_73);
}

fn assert_no_level_rises(size: [f64; 3], s: [f64; 3], l: [f64; 3], absorption: f64, more: f64) {
    let less = trace_list(&BoxRoom::alike(size, s, l, absorption).text());
    let more = trace_list(&BoxRoom::alike(size, s, l, (absorption + more).min(0.99)).text());
    let faces = |r: &Reflection| r.arrival.bounces.iter().map(|b| b.face).collect::<Vec<_>>();
    for b in &more.pairs[0].reflections {
        let a = less.pairs[0].reflections.iter().find(|a| faces(a) == faces(b)).unwrap();
        for (a, b) in a.band_level_db.iter().zip(b.band_level_db) {
            assert!(b <= *a);
        }
    }
}

/// Moves the two listeners and mirrors the whole scene in the middle plane of the room.
fn assert_mirrored(x: f64, y: f64) {
    let width = 4.1;
    let moved = |y: f64| {
        FURNISHED
            .replace("at = [2.2, 2.05, 1.2]", &format!("at = [{x:?}, {y:?}, 1.2]"))
            .replace("at = [2.2, 2.05, 1.62]", &format!("at = [{x:?}, {y:?}, 1.62]"))
    };
    let mirrored = moved(width - y)
        .replace("at = [1.2, 1.25, 1.2]", "at = [1.2, SWAP, 1.2]")
        .replace("at = [1.2, 2.85, 1.2]", "at = [1.2, 1.25, 1.2]")
        .replace("SWAP", "2.85")
        .replace("on = \"left\"", "on = \"right\"");
    let (plain, mirrored) = (trace_list(&moved(y)), trace_list(&mirrored));
    for (a, b) in plain.pairs.iter().zip(&mirrored.pairs) {
        assert_eq!(a.reflections.len(), b.reflections.len());
        let amplitude = |r: &Reflection| 10f64.powf(0.05 * r.level_db);
        // Mirror images may arrive together, in either order: each must find its partner.
        let mut left: Vec<_> = b.reflections.iter().collect();
        for p in &a.reflections {
            let partner = left.iter().position(|q| {
                let turn = (p.azimuth_deg + q.azimuth_deg).rem_euclid(360.0);
                (p.delay_s - q.delay_s).abs() < 1e-12
                    // Rims are summed in single precision, against the direct sound.
                    && (amplitude(p) - amplitude(q)).abs() < 1e-5
                    && turn.min(360.0 - turn) < 1e-6
                    && (p.elevation_deg - q.elevation_deg).abs() < 1e-6
            });
            assert!(partner.is_some(), "{p:#?} has no mirror image");
            left.swap_remove(partner.unwrap());
        }
    }
}

/// The lists alone are those of the whole trace, to the last bit.
#[test]
fn a_list_alone_is_that_of_the_trace() {
    let scene = parsed(ATTIC);
    let state = scene.variant(None).unwrap();
    let plan = Request { window_s: 0.02, order: 2, ..Request::everything(&scene) };
    let list = Request { response: None, ..plan.clone() };
    let lists = simulate(&scene, &state, &list, &()).unwrap().pairs;
    let traced = simulate(&scene, &state, &plan, &()).unwrap();
    assert_eq!(lists.len(), traced.pairs.len());
    for (alone, whole) in lists.iter().zip(&traced.pairs) {
        assert_eq!((alone.speaker, alone.listener), (whole.speaker, whole.listener));
        assert_eq!(alone.direct, whole.direct);
        assert_eq!(alone.reflections, whole.reflections);
    }
}
