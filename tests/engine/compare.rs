//! Comparisons of traces: what must hold for any room, and cases worked by hand.

use crate::fixtures::{FIRST_LISTENER, FIRST_PAIR, FIRST_SPEAKER, cases, parsed};
use earline_engine::analysis::compare::{
    CostUnavailable, EQUAL_DB, TreatmentDiff, changed_energy_db, compare, db_per_cost, margin_s,
    pair_asymmetries, path_keys, strongest_within,
};
use earline_engine::geometry::FaceId;
use earline_engine::scene::{ListenerId, Scene, Surface};
use earline_engine::simulate::{PairSimulation, Request, ResponseRequest, Simulation, simulate};
use proptest::prelude::*;

/// A room with a side wall that can be covered whole, and sharp geometry, so that no edge plays a
/// part and every change can be worked by hand.
const ROOM: &str = r#"
title = "room"
[room]
length = 6.0
width = 4.0
height = 2.5
[air]
absorption = false
[surfaces]
front = "hard"
back = "hard"
left = "hard"
right = "hard"
floor = "hard"
ceiling = "hard"
[[material]]
name = "hard"
absorption = 0.1
[[material]]
name = "soft"
absorption = 0.9
[[speaker]]
name = "l"
pair = "p"
side = "left"
at = [1.0, 1.0, 1.2]
directivity = { kind = "omni" }
[[speaker]]
name = "r"
pair = "p"
side = "right"
at = [1.0, 3.0, 1.2]
directivity = { kind = "omni" }
[[listener]]
name = "seated"
at = [2.8, 2.0, 1.2]
[[listener]]
name = "standing"
at = [2.8, 2.0, 1.6]
[[panel]]
name = "whole left wall"
set = "cover"
on = "left"
centre = [3.0, 1.25]
size = [6.0, 2.5]
material = "soft"
cost = 200
[[furniture]]
name = "box"
set = "box"
corner = [4.5, 1.5, 0.0]
size = [0.5, 1.0, 0.8]
material = "hard"
[[variant]]
name = "bare"
with = []
[[variant]]
name = "covered"
with = ["cover"]
[[variant]]
name = "boxed"
with = ["box"]
[[variant]]
name = "bare again"
with = []
[model]
reflection = "constant"
edges = false
"#;

const WINDOW_S: f64 = 0.03;

fn traced(scene: &Scene, variant: &str, listener: usize) -> Simulation {
    let plan = Request {
        window_s: WINDOW_S + margin_s(0.4, 343.0),
        response: Some(ResponseRequest::early(0.06)),
        ..Request::list(FIRST_PAIR.to_vec(), vec![ListenerId::new(listener)])
    };
    simulate(scene, &scene.variant(Some(variant)).unwrap(), &plan, &()).unwrap()
}

fn faces(pair: &PairSimulation, index: usize) -> Vec<FaceId> {
    pair.reflections[index].arrival.bounces.iter().map(|b| b.face).collect()
}

#[test]
fn identical_states_show_no_difference_exactly() {
    for (listener, edges) in [(0, "true"), (1, "false")] {
        let room = parsed(&ROOM.replace("edges = false", &format!("edges = {edges}")));
        let (a, b) = (traced(&room, "bare", listener), traced(&room, "bare again", listener));
        for (a, b) in a.pairs.iter().zip(&b.pairs) {
            let found = compare(a, b, WINDOW_S);
            assert!(found.vanished.is_empty() && found.new.is_empty());
            assert!(found.matched.len() > 30);
            for m in &found.matched {
                assert_eq!(m.first, m.second);
                let changes = m.band_change_db.iter().chain([&m.change_db, &m.later_s]);
                assert!(changes.into_iter().all(|change| change.to_bits() == 0));
            }
        }
    }
    let room = parsed(ROOM);
    let state = |name| room.variant(Some(name)).unwrap();
    assert!(TreatmentDiff::between(&state("bare"), &state("bare again")).is_empty());
}

/// With √(1 − α) at every angle, α from 0.1 to 0.9 takes 10·lg((1 − 0.1)/(1 − 0.9)) = 9.542 dB off
/// each bounce on that wall and nothing off any other path: by definition of the absorption
/// coefficient (ISO 354).
#[test]
fn a_covered_wall_takes_its_own_reflections_down() {
    let room = parsed(ROOM);
    let (bare, covered) = (traced(&room, "bare", 0), traced(&room, "covered", 0));
    let each_db = 10.0 * (0.9f64 / 0.1).log10();
    for (a, b) in bare.pairs.iter().zip(&covered.pairs) {
        let found = compare(a, b, WINDOW_S);
        assert!(found.vanished.is_empty() && found.new.is_empty());
        for m in &found.matched {
            let on_left =
                faces(a, m.first).iter().filter(|f| **f == FaceId::Surface(Surface::Left)).count();
            let expected = -each_db * on_left as f64;
            assert!((m.change_db - expected).abs() < 1e-9, "{} {expected}", m.change_db);
            assert!(m.band_change_db.iter().all(|db| (db - expected).abs() < 1e-9));
            assert_eq!(m.is_equal(), on_left == 0);
            assert!(m.later_s.abs() < 1e-15);
        }
    }
}

#[test]
fn swapping_the_states_flips_every_sign() {
    let room = parsed(ROOM);
    for (one, other) in [(("bare", 0), ("covered", 0)), (("bare", 0), ("boxed", 1))] {
        let (a, b) = (traced(&room, one.0, one.1), traced(&room, other.0, other.1));
        for (a, b) in a.pairs.iter().zip(&b.pairs) {
            let there = compare(a, b, WINDOW_S);
            let mut back = compare(b, a, WINDOW_S);
            assert_eq!((&there.vanished, &there.new), (&back.new, &back.vanished));
            back.matched.sort_by_key(|m| m.second);
            assert_eq!(there.matched.len(), back.matched.len());
            for (m, n) in there.matched.iter().zip(&back.matched) {
                assert_eq!((m.first, m.second), (n.second, n.first));
                assert!((m.change_db + n.change_db).abs() < 1e-12);
                assert!((m.later_s + n.later_s).abs() < 1e-15);
                assert!(
                    m.band_change_db.iter().zip(n.band_change_db).all(|(x, y)| *x + y == 0.0),
                    "{m:?} {n:?}"
                );
            }
        }
    }
}

/// A box in the room brings reflections of its own and stands in the way of others.
#[test]
fn a_box_brings_new_paths_and_hides_old_ones() {
    let room = parsed(ROOM);
    let (bare, boxed) = (traced(&room, "bare", 0), traced(&room, "boxed", 0));
    let (a, b) = (&bare.pairs[0], &boxed.pairs[0]);
    let found = compare(a, b, WINDOW_S);
    assert!(!found.new.is_empty() && !found.vanished.is_empty());
    let hits_the_box = |face: &FaceId| matches!(face, FaceId::Furniture { .. });
    for &index in &found.new {
        assert!(faces(b, index).iter().any(hits_the_box));
    }
    for &index in &found.vanished {
        assert!(!faces(a, index).iter().any(hits_the_box));
    }
}

#[test]
fn costs_and_decibels_for_each_unit() {
    let room = parsed(ROOM);
    let state = |name| room.variant(Some(name)).unwrap();
    let cover = TreatmentDiff::between(&state("bare"), &state("covered"));
    assert_eq!((cover.added.len(), cover.removed.len()), (1, 0));
    assert!((db_per_cost(Some(-6.0), &cover).unwrap() - 6.0 / 200.0).abs() < 1e-15);
    let uncover = TreatmentDiff::between(&state("covered"), &state("bare"));
    assert_eq!(db_per_cost(Some(6.0), &uncover), db_per_cost(Some(-6.0), &cover));
    assert_eq!(db_per_cost(Some(EQUAL_DB / 2.0), &cover), Err(CostUnavailable::Equal));
    assert_eq!(db_per_cost(None, &cover), Err(CostUnavailable::NothingEarly));
    let boxed = TreatmentDiff::between(&state("bare"), &state("boxed"));
    assert_eq!(db_per_cost(Some(-6.0), &boxed), Err(CostUnavailable::NoCost));
}

/// A symmetrical room has no difference between its sides; one covered wall shows as the 9.542 dB
/// of the test above, on the reflection off that wall.
#[test]
fn sides_of_a_symmetrical_room_are_alike() {
    let room = parsed(ROOM);
    let sides = |variant: &str| {
        let found = traced(&room, variant, 0);
        let pairs: Vec<&PairSimulation> = found.pairs.iter().collect();
        pair_asymmetries(&room, &room.variant(Some(variant)).unwrap(), &pairs).remove(0)
    };
    for variant in ["bare", "boxed"] {
        let bare = sides(variant);
        assert_eq!((bare.name.as_str(), bare.alone), ("p", [0, 0]));
        assert!(bare.partners > 10);
        assert!(bare.largest.unwrap().left_louder_db.abs() < 1e-9);
    }
    let covered = sides("covered").largest.unwrap();
    let each_db = 10.0 * (0.9f64 / 0.1).log10();
    let bounces = (covered.left_louder_db.abs() / each_db).round();
    assert!(1.0 <= bounces && (covered.left_louder_db.abs() - bounces * each_db).abs() < 1e-9);
}

/// The floor's image is the nearest, 3.16 m away by Pythagoras; all surfaces are alike, so by the
/// law of distance its reflection is the strongest.
#[test]
fn the_strongest_early_reflection_is_found() {
    let room = parsed(ROOM);
    let found = traced(&room, "bare", 0);
    let pairs: Vec<&PairSimulation> = found.pairs.iter().collect();
    let strongest = strongest_within(&pairs, 0.015).unwrap();
    assert_eq!(faces(strongest.pair, strongest.index), [FaceId::Surface(Surface::Floor)]);
    let others = found.pairs.iter().flat_map(|p| &p.reflections);
    assert!(
        others.into_iter().all(|r| r.level_db <= strongest.reflection.level_db + 0.01),
        "{strongest:?}"
    );
    assert!(strongest_within(&pairs, 0.0).is_none());
}

proptest! {
    #![proptest_config(cases(16))]

    /// Wherever the head goes, the paths over the six surfaces are the same: nothing vanishes and
    /// nothing is new, whichever of two walls a path meets first and however late it comes.
    #[test]
    fn moving_the_head_loses_no_path(
        from in prop::array::uniform3(0.1..0.9f64), to in prop::array::uniform3(0.1..0.9f64)
    ) {
        let size = [6.0, 4.0, 2.5];
        let within = |share: [f64; 3]| -> [f64; 3] { std::array::from_fn(|i| share[i] * size[i]) };
        let moved = |at: [f64; 3]| ROOM.replace("at = [2.8, 2.0, 1.2]", &format!("at = {at:?}"));
        let distance = (0..3).map(|i| (within(from)[i] - within(to)[i]).powi(2)).sum::<f64>().sqrt();
        let traced = |text: String| {
            let scene = parsed(&text);
            let plan = Request {
                window_s: WINDOW_S + margin_s(distance, 340.0),
                ..Request::list(vec![FIRST_SPEAKER], vec![FIRST_LISTENER])
            };
            simulate(&scene, &scene.variant(Some("bare")).unwrap(), &plan, &()).unwrap()
        };
        let (a, b) = (traced(moved(within(from))), traced(moved(within(to))));
        let found = compare(&a.pairs[0], &b.pairs[0], WINDOW_S);
        prop_assert!(found.vanished.is_empty() && found.new.is_empty(), "{found:?}");
        let all = path_keys(&a.pairs[0].reflections);
        let mut single = all.clone();
        single.sort();
        single.dedup();
        prop_assert_eq!(single.len(), all.len());
    }
}

/// By the definition of a decibel: from 0 to −10 dB nine tenths of the energy go, 0.46 dB under all of it.
#[test]
fn a_change_has_the_energy_it_adds_or_takes() {
    let nine_tenths = 10.0 * 0.9f64.log10();
    for (first, second) in [(0.0, -10.0), (-10.0, 0.0)] {
        assert!((changed_energy_db(Some(first), Some(second)) - nine_tenths).abs() < 1e-12);
    }
    assert!((changed_energy_db(None, Some(-7.0)) + 7.0).abs() < 1e-12);
    let nothing = changed_energy_db(Some(-7.0), Some(-7.0));
    assert!(nothing.is_infinite() && nothing < 0.0);
}
