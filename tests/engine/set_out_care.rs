//! What heights cost and how far marks may be off, against closed forms.
#![allow(clippy::float_cmp, reason = "heights and steps are copied, not computed")]

use crate::fixtures::{BoxRoom, FIRST_LISTENER, FIRST_PAIR, FIRST_SPEAKER, open_but, parsed};
use earline_engine::analysis::setting_out::{MarkTarget, standing_ears_m};
use earline_engine::analysis::tolerance::{
    Change, STEPS_M, Thresholds, Tolerance, TolerancePlan, tolerances,
};
use earline_engine::explore::height::{HeightComparison, HeightPlan, HeightRule, compare_heights};
use earline_engine::scene::{NoAttachments, Scene};

const C: f64 = 343.2;

/// A pair in a room of which only the named surface reflects, all of it; no air attenuation.
fn scene(reflecting: &str, directivity: &str, seat: [f64; 3]) -> Scene {
    let room = BoxRoom::new([5.8, 4.1, 2.6], open_but(&[reflecting]));
    let pair = room.pair([[1.0, 1.25, 1.2], [1.0, 2.85, 1.2]], directivity);
    pair.listener("seat", seat).scene()
}

const OMNI: &str = "{ kind = \"omni\" }";
const SEAT: [f64; 3] = [2.386, 2.05, 1.2];

fn of_pair(scene: &Scene, share: f64) -> HeightComparison {
    let plan = HeightPlan {
        variant: None,
        pair: FIRST_PAIR,
        listeners: &[FIRST_LISTENER],
        seated_share: share,
    };
    compare_heights(scene, &NoAttachments, &plan).unwrap()
}

/// Without a directivity and without reflections a height costs nothing but distance, and that is
/// not counted.
#[test]
fn an_even_speaker_in_the_open_is_the_same_at_any_height() {
    for choice in of_pair(&scene("none", OMNI, SEAT), 0.5).choices {
        for heard in choice.early.unwrap() {
            assert!(heard.direct_level_db.abs() < 1e-9 && heard.early_level_db.abs() < 1e-9);
            assert!(heard.direct_coloration_db < 1e-9 && heard.strongest.is_none());
        }
    }
}

/// Mirror image in a hard floor (Allen and Berkley 1979): the reflection is (d/d′)² of the direct
/// sound, with d² = r² + (h − z)² and d′² = r² + (h + z)².
#[test]
fn a_hard_floor_adds_its_mirror_image() {
    let scene = scene("floor", OMNI, SEAT);
    let found = of_pair(&scene, 0.25);
    let aside = (SEAT[0] - 1.0).hypot(0.8);
    let ears = found.ears.map(|ears| ears.at.z);
    assert_eq!(ears, [1.2, standing_ears_m()]);
    assert_eq!(found.ears[1].listener, None);
    let set = found.choices.iter().map(|choice| choice.choice.set_at);
    let all = [
        HeightRule::AsItStands,
        HeightRule::SeatedEars,
        HeightRule::Between,
        HeightRule::StandingEars,
    ];
    assert!(set.eq(all));
    let between = 0.25 * ears[0] + 0.75 * ears[1];
    for (choice, up) in found.choices.iter().zip([1.2, ears[0], between, ears[1]]) {
        assert!(choice.choice.up_m.iter().all(|&m| (m - up).abs() < 1e-12));
        for (heard, ear) in choice.early.as_ref().unwrap().iter().zip(ears) {
            let [near, far] = [up - ear, up + ear].map(|dz| aside.powi(2) + dz * dz);
            let exact = 10.0 * (1.0 + near / far).log10();
            assert!((heard.early_level_db - exact).abs() < 0.01, "{up} {ear}");
            let strongest = heard.strongest.as_ref().unwrap();
            assert_eq!(
                strongest.speaker, FIRST_SPEAKER,
                "of mirrored speakers the first, not what rounding says"
            );
            assert!((strongest.level_db - 10.0 * (near / far).log10()).abs() < 0.01);
            let delay = (far.sqrt() - near.sqrt()) / C;
            assert!((strongest.delay_s - delay).abs() < 2e-6);
        }
    }
}

/// Two drivers one above the other: level with the ears nothing is lost; off the axis upward the
/// crossover region dips (the sum of two sources out of step), more the farther the ears are off.
#[test]
fn a_two_way_speaker_is_even_only_near_its_axis() {
    let two_way = "{ kind = \"two-way\", woofer = \"165 mm\", tweeter = \"25 mm\", \
                   spacing = \"170 mm\", crossover_hz = 2200, cabinet = [0.34, 0.22, 0.27] }";
    let found = of_pair(&scene("none", two_way, SEAT), 0.5);
    let colour = |choice: usize| {
        let heard = found.choices[choice].early.as_ref().unwrap();
        [heard[0].direct_coloration_db, heard[1].direct_coloration_db]
    };
    let [seated, between, standing] = [colour(1), colour(2), colour(3)];
    assert!(seated[0] < 0.1 && standing[1] < 0.1, "{seated:?} {standing:?}");
    assert!(between[0] < seated[1] && between[1] < standing[0], "half-way off costs less");
    assert!(0.1 < between[0] && 0.5 < seated[1]);
    let weighted = found.choices[1].weighted_direct_db(0.7).unwrap();
    assert!((weighted - (0.7 * seated[0] + 0.3 * seated[1])).abs() < 1e-12);
}

/// A pair that cannot stand at a height is not silently left out.
#[test]
fn what_cannot_stand_says_why() {
    let mut edit = scene("none", OMNI, [2.386, 2.05, 1.2]).edit();
    edit.listeners_mut()[0].at.z = 2.3;
    assert!(edit.validate(&NoAttachments).is_ok());
    let tall = edit.validate(&NoAttachments).unwrap().scene;
    let plan = HeightPlan {
        variant: None,
        pair: FIRST_PAIR,
        listeners: &[FIRST_LISTENER],
        seated_share: 0.5,
    };
    assert!(
        compare_heights(&tall, &NoAttachments, &plan).is_none(),
        "nobody is higher than these ears"
    );
    let two_way = "{ kind = \"piston\", diameter = 0.12, cabinet = [0.3, 0.2, 0.2] }\nsolid = true";
    let beam = "\n[[furniture]]\nname = \"beam\"\ncorner = [0.6, 0.5, 1.5]\nsize = [0.8, 3.0, 0.2]\n\
                material = \"floor skin\"\n";
    let text = scene("none", two_way, SEAT).to_toml() + beam;
    let found = of_pair(&parsed(&text), 0.5);
    assert!(found.choices[1].early.is_ok());
    let why = found.choices[3].early.clone().unwrap_err();
    assert!(why.contains("beam"), "{why}");
    assert_eq!(found.choices[3].weighted_direct_db(0.5), None);
}

fn all_tolerances(scene: &Scene, thresholds: Thresholds) -> Vec<Tolerance> {
    let plan = TolerancePlan {
        variant: None,
        speakers: &FIRST_PAIR,
        listeners: &[FIRST_LISTENER],
        thresholds,
    };
    tolerances(scene, &NoAttachments, &plan).unwrap()
}

const NOTHING: Thresholds = Thresholds {
    left_right_s: f64::INFINITY,
    base_angle_deg: f64::INFINITY,
    direct_db: f64::INFINITY,
    reflection_db: f64::INFINITY,
    reflection_s: f64::INFINITY,
    weakest_db: f64::INFINITY,
};

/// The largest step at which a closed form stays within a bound, both ways.
fn largest(within: impl Fn(f64) -> bool) -> f64 {
    let free = STEPS_M.iter().take_while(|&&step| within(step) && within(-step));
    free.last().copied().unwrap_or(0.0)
}

/// Path lengths of a triangle by Pythagoras: the delay between left and right is their difference
/// over the speed of sound.
#[test]
fn left_and_right_come_apart_as_pythagoras_says() {
    let scene = scene("none", OMNI, SEAT);
    let found = all_tolerances(&scene, Thresholds { left_right_s: 50e-6, ..NOTHING });
    let ahead = SEAT[0] - 1.0;
    let right = ahead.hypot(0.8);
    let speaker = |dx: f64, dy: f64, dz: f64| {
        let left = ((ahead - dx).powi(2) + (0.8 - dy).powi(2) + dz * dz).sqrt();
        ((left - right) / C).abs() <= 50e-6
    };
    let head = |dy: f64| ((ahead.hypot(0.8 + dy) - ahead.hypot(0.8 - dy)) / C).abs() <= 50e-6;
    assert_eq!(found[0].of, MarkTarget::Speaker(FIRST_SPEAKER));
    let exact = [
        largest(|d| speaker(d, 0.0, 0.0)),
        largest(|d| speaker(0.0, d, 0.0)),
        largest(|d| speaker(0.0, 0.0, d)),
    ];
    let free = |tolerance: &Tolerance| [0, 1, 2].map(|way: usize| tolerance.axes[way].allowed_m);
    assert_eq!(free(&found[0]), exact);
    assert_eq!(free(&found[1]), exact, "a symmetric pair");
    assert!(matches!(
        found[0].axes[0].first,
        Some(Change::LeftRight { left: FIRST_SPEAKER, listener: FIRST_LISTENER, .. })
    ));
    // A head in the middle may go to and fro as it likes, but not aside.
    let most = STEPS_M[STEPS_M.len() - 1];
    assert_eq!(free(&found[2]), [most, largest(head), most]);
    assert_eq!(found[2].axes[0].first, None);
}

/// Spherical spreading: half a decibel is 5.9 % of the distance, 20·lg(d′/d).
#[test]
fn levels_follow_the_distance() {
    let scene = scene("none", OMNI, SEAT);
    let found = all_tolerances(&scene, Thresholds { direct_db: 0.5, ..NOTHING });
    let ahead = SEAT[0] - 1.0;
    let within = |d: f64| (20.0 * ((ahead + d).hypot(0.8) / ahead.hypot(0.8)).log10()).abs() <= 0.5;
    assert!((found[2].axes[0].allowed_m - largest(within)).abs() < 1e-12);
    assert!(matches!(found[2].axes[0].first, Some(Change::Direct { .. })));
}

/// A floor reflection comes √(r² + (h + z)²) − √(r² + (h − z)²) later than the direct sound.
#[test]
fn delays_of_reflections_follow_the_height() {
    let scene = scene("floor", OMNI, SEAT);
    let thresholds = Thresholds { reflection_s: 0.25e-3, weakest_db: -20.0, ..NOTHING };
    let found = all_tolerances(&scene, thresholds);
    let aside = (SEAT[0] - 1.0).hypot(0.8);
    let delay = |d: f64| (aside.hypot(2.4 + d) - aside.hypot(d)) / C;
    let within = |d: f64| (delay(d) - delay(0.0)).abs() <= 0.25e-3;
    assert!((found[2].axes[2].allowed_m - largest(within)).abs() < 1e-12);
    assert!(matches!(found[2].axes[2].first, Some(Change::ReflectionDelay { .. })));
}

/// A wall in the way ends the search with the scene's own words.
#[test]
fn a_wall_is_a_bound_too() {
    let mut edit = scene("none", OMNI, SEAT).edit();
    edit.speakers_mut()[0].at.y = 0.012;
    let near = edit.validate(&NoAttachments).unwrap().scene;
    let found = all_tolerances(&near, NOTHING);
    let aside = &found[0].axes[1];
    assert!(aside.allowed_m <= 0.01, "{aside:?}");
    assert!(
        matches!(&aside.first, Some(Change::NoRoom { why }) if why.contains("left")),
        "{aside:?}"
    );
}
