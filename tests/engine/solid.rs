//! Speaker cabinets as solid bodies.

use crate::fixtures::{FIRST_SPEAKER, cases, parsed};
use earline_engine::analysis::compare::pair_asymmetries;
use earline_engine::geometry::FaceId;
use earline_engine::image_source::Reflection;
use earline_engine::scene::Scene;
use earline_engine::simulate::{PairSimulation, Request, Simulation, simulate};
use proptest::prelude::*;

const ROOM: &str = r#"
title = "solid"
[room]
length = 5.8
width = 4.1
height = 2.45
[surfaces]
front = "board"
back = "board"
left = "board"
right = "board"
floor = "board"
ceiling = "board"
[[material]]
name = "board"
absorption = [0.29, 0.29, 0.1, 0.05, 0.04, 0.07, 0.09, 0.09]
"#;

const TWO_WAY: &str = "{ kind = \"two-way\", woofer = 0.165, tweeter = 0.025, spacing = 0.17, crossover_hz = 2200, cabinet = [0.34, 0.22, 0.27], reference = \"tweeter\" }";

fn speaker(name: &str, at: [f64; 3], aim: [f64; 3], more: &str) -> String {
    format!(
        "[[speaker]]\nname = \"{name}\"\nat = {at:?}\naim = {aim:?}\ndirectivity = {TWO_WAY}\n{more}\n"
    )
}

fn omni(at: [f64; 3]) -> String {
    format!("[[speaker]]\nname = \"s\"\nat = {at:?}\ndirectivity = {{ kind = \"omni\" }}\n")
}

fn seat(at: [f64; 3]) -> String {
    format!("[[listener]]\nname = \"seat\"\nat = {at:?}\n")
}

const SHARP: &str = "[model]\nedges = false\n";
const SOLID: &str = "solid = true\nfinish = \"board\"\n";

fn scene(parts: &[&str]) -> Scene {
    let text = format!("{ROOM}{}", parts.concat());
    parsed(&text)
}

fn trace_list(scene: &Scene) -> Simulation {
    let plan = Request { response: None, window_s: 0.03, ..Request::everything(scene) };
    simulate(scene, &scene.variant(None).unwrap(), &plan, &()).unwrap()
}

fn faces(r: &Reflection) -> Vec<FaceId> {
    r.arrival.bounces.iter().map(|b| b.face).collect()
}

fn is_own(face: &FaceId) -> bool {
    matches!(face, FaceId::Cabinet { speaker: FIRST_SPEAKER, .. })
}

proptest! {
    #![proptest_config(cases(48))]

    /// Wherever it is aimed, to the last digit: the box neither shadows nor reflects what leaves it.
    #[test]
    fn nothing_happens_on_the_way_out(
        x in 0.6..2.0f64, y in 0.6..3.4f64, aim in prop::array::uniform3(-1.0..1.0f64), edges in any::<bool>()
    ) {
        prop_assume!(0.1 < aim[0].hypot(aim[1]));
        let at = [x, y, 1.2];
        let aim = std::array::from_fn(|i| at[i] + aim[i]);
        let model = if edges { "" } else { SHARP };
        let seat = seat([3.9, 1.7, 1.25]);
        let plain = trace_list(&scene(&[&speaker("s", at, aim, ""), &seat, model]));
        let solid = trace_list(&scene(&[&speaker("s", at, aim, SOLID), &seat, model]));
        prop_assert_eq!(&plain.pairs[0].direct, &solid.pairs[0].direct);
        for r in &solid.pairs[0].reflections {
            prop_assert!(!is_own(&faces(r)[0]), "{:?}", faces(r));
        }
    }

    #[test]
    fn the_front_goes_through_the_reference_point(
        x in 0.6..2.0f64, y in 0.6..3.4f64, aim in prop::array::uniform3(-1.0..1.0f64)
    ) {
        let at = [x, y, 1.2];
        let aim = std::array::from_fn(|i| at[i] + aim[i]);
        let scene = scene(&[&speaker("s", at, aim, SOLID), &seat([3.9, 1.7, 1.25])]);
        let own = &scene.speakers()[0];
        let upright = own.solid_box().unwrap();
        let facing = -upright.axes[0];
        prop_assert!((facing.dot(own.at - upright.middle) - 0.135).abs() < 1e-12);
        prop_assert!(facing.dot(own.axis) > 0.0 && facing.z == 0.0);
        // The tweeter sits half the spacing above the middle of the front, which is all there is.
        prop_assert!((own.at.z - upright.middle.z - 0.085).abs() < 1e-12);
        prop_assert!(upright.axes[1].dot(own.at - upright.middle).abs() < 1e-12);
    }

    /// Left for right, with each cabinet in the way of both.
    #[test]
    fn both_halves_of_a_mirrored_room_hear_the_same(x in 1.8..4.0f64, near in 0.6..1.6f64, edges in any::<bool>()) {
        let pair = |name: &str, y: f64| {
            let side = format!("pair = \"p\"\nside = \"{name}\"\n{SOLID}");
            speaker(name, [0.9, y, 1.2], [x, 2.05, 1.2], &side)
        };
        let model = if edges { "" } else { SHARP };
        let scene = scene(&[&pair("left", near), &pair("right", 4.1 - near), &seat([x, 2.05, 1.2]), model]);
        let traced = trace_list(&scene);
        let pairs: Vec<&PairSimulation> = traced.pairs.iter().collect();
        let state = scene.variant(None).unwrap();
        let found = pair_asymmetries(&scene, &state, &pairs);
        prop_assert_eq!(found[0].alone, [0, 0]);
        prop_assert!(0 < found[0].partners);
        prop_assert!(found[0].largest.unwrap().left_louder_db.abs() < 1e-4);
    }
}

/// The sound off the wall behind the speaker meets the cabinet on its way to the seat.
#[test]
fn the_way_back_is_shadowed() {
    // Large against the first Fresnel zone at the top, small at the bottom.
    let parts = |more: &str| {
        speaker("s", [0.9, 2.05, 1.2], [3.0, 2.05, 1.2], more)
            .replace("[0.34, 0.22, 0.27]", "[0.9, 0.7, 0.27]")
    };
    let level = |trace: &Simulation| {
        let front = FaceId::Surface(earline_engine::scene::Surface::Front);
        trace.pairs[0].reflections.iter().find(|r| faces(r) == [front]).map(|r| r.band_level_db)
    };
    let seat = seat([3.0, 2.05, 1.2]);
    let plain = level(&trace_list(&scene(&[&parts(""), &seat]))).unwrap();
    let solid = level(&trace_list(&scene(&[&parts(SOLID), &seat]))).unwrap();
    assert!((plain[0] - solid[0]).abs() < 6.0, "63 Hz goes round: {plain:?} {solid:?}");
    assert!(10.0 < plain[7] - solid[7], "8 kHz does not: {plain:?} {solid:?}");
    assert_eq!(level(&trace_list(&scene(&[&parts(SOLID), &seat, SHARP]))), None);
    // And sound from before it bounces off its front.
    let sharp = trace_list(&scene(&[&parts(SOLID), &seat, SHARP]));
    assert!(sharp.pairs[0].reflections.iter().any(|r| faces(r).iter().skip(1).any(is_own)));
}

#[test]
fn anothers_cabinet_stands_in_the_way() {
    let other = |more: &str| speaker("other", [1.8, 1.98, 1.25], [5.0, 1.98, 1.25], more);
    let (first, seat) = (omni([0.8, 2.05, 1.2]), seat([3.0, 2.05, 1.2]));
    for model in ["", SHARP] {
        let plain = trace_list(&scene(&[&first, &other(""), &seat, model]));
        let solid = trace_list(&scene(&[&first, &other(SOLID), &seat, model]));
        assert!(!plain.pairs[0].direct.occluded && solid.pairs[0].direct.occluded);
        // The one that stands in the way is itself heard as before.
        assert_eq!(plain.pairs[1].direct, solid.pairs[1].direct);
        let loss: Vec<f64> = plain.pairs[0]
            .direct
            .band_level_db
            .iter()
            .zip(solid.pairs[0].direct.band_level_db)
            .map(|(a, b)| a - b)
            .collect();
        if model.is_empty() {
            assert!(loss[0].abs() < 6.0 && 10.0 < loss[7], "{loss:?}");
        }
    }
}

/// For another speaker a cabinet is a box of furniture at its place: every path and every level.
#[test]
fn a_cabinet_is_a_box() {
    let (at, aim) = ([1.9, 2.8, 1.2], [3.0, 2.05, 1.0]);
    let (first, seat) = (omni([1.0, 1.3, 1.2]), seat([3.0, 2.05, 1.2]));
    // Worked out by hand: toward the aim, level; the tweeter half the spacing above the middle.
    let (dx, dy) = (aim[0] - at[0], aim[1] - at[1]);
    let long = f64::hypot(dx, dy);
    let middle = [at[0] - dx / long * 0.135, at[1] - dy / long * 0.135, at[2] - 0.085];
    let size = [0.27, 0.22, 0.34];
    let corner: [f64; 3] = std::array::from_fn(|i| middle[i] - size[i] / 2.0);
    let turn = dy.atan2(dx).to_degrees();
    let as_furniture = format!(
        "[[furniture]]\nname = \"box\"\ncorner = {corner:?}\nsize = {size:?}\nturn_deg = {turn:?}\nmaterial = \"board\"\n"
    );
    for model in ["", SHARP] {
        let cabinet = trace_list(&scene(&[&first, &speaker("b", at, aim, SOLID), &seat, model]));
        let furniture =
            trace_list(&scene(&[&first, &speaker("b", at, aim, ""), &as_furniture, &seat, model]));
        let (one, other) = (&cabinet.pairs[0].reflections, &furniture.pairs[0].reflections);
        assert!(one.iter().any(|r| faces(r).iter().any(|f| matches!(f, FaceId::Cabinet { .. }))));
        assert_eq!(one.len(), other.len());
        for (a, b) in one.iter().zip(other) {
            assert!((a.delay_s - b.delay_s).abs() < 1e-12);
            for (x, y) in a.band_level_db.iter().zip(b.band_level_db) {
                assert!((x - y).abs() < 1e-4 || x.is_infinite() && y.is_infinite(), "{x} {y}");
            }
        }
    }
}

#[test]
fn swapping_an_even_speaker_and_the_listener_changes_nothing() {
    let others = [
        speaker("a", [1.2, 0.9, 1.2], [3.0, 2.0, 1.1], SOLID),
        speaker("b", [1.3, 3.1, 1.2], [3.0, 2.0, 1.3], SOLID),
    ]
    .concat();
    let (p, q) = ([0.8, 1.9, 1.1], [3.0, 2.15, 1.2]);
    for model in ["", SHARP] {
        let there = trace_list(&scene(&[&omni(p), &others, &seat(q), model]));
        let back = trace_list(&scene(&[&omni(q), &others, &seat(p), model]));
        let (there, back) = (&there.pairs[0].reflections, &back.pairs[0].reflections);
        assert_eq!(there.len(), back.len());
        for a in there {
            let reversed: Vec<_> = faces(a).into_iter().rev().collect();
            let b = back.iter().find(|r| faces(r) == reversed).unwrap();
            assert!((a.delay_s - b.delay_s).abs() < 1e-12);
            for (x, y) in a.band_level_db.iter().zip(b.band_level_db) {
                assert!(x.is_infinite() && y.is_infinite() || (x - y).abs() < 1e-4, "{x} {y}");
            }
        }
    }
}

/// What a cabinet is made of absorbs, all round.
#[test]
fn its_finish_counts_in_the_room() {
    let part = |more: &str| speaker("s", [0.9, 2.05, 1.2], [3.0, 2.05, 1.2], more);
    let area = |more: &str| -> f64 {
        let scene = scene(&[&part(more), &seat([3.0, 2.05, 1.2])]);
        let lining = earline_engine::metrics::absorbing_areas::absorbing_areas(
            &scene,
            &scene.variant(None).unwrap(),
        );
        lining.iter().map(|absorber| absorber.area_m2).sum()
    };
    let all_round = 2.0 * (0.34 * 0.22 + 0.34 * 0.27 + 0.22 * 0.27);
    assert!((area(SOLID) - area("") - all_round).abs() < 1e-12);
}
