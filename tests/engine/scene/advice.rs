//! What a careful colleague would mention of a scene that holds.

use super::meaning::{SMALL, SPEAKER, codes, parse};
use earline_engine::scene::{NoAttachments, Scene};

/// 26.9 by 8.5 by 12.2 m: numbers of feet written in metres.
#[test]
fn a_room_that_may_be_in_feet_is_asked_about() {
    let sized = |size: [&str; 3]| {
        let [length, width, height] = size;
        let text = format!("{SMALL}{SPEAKER}")
            .replace("\"4 m\"", length)
            .replace("\"3 m\"", width)
            .replace("\"2.5 m\"", height);
        let warnings = Scene::parse(&text, &NoAttachments).unwrap().warnings;
        warnings.iter().map(|problem| problem.code).collect::<Vec<_>>()
    };
    assert!(sized(["26.9", "8.5", "12.2"]).contains(&"scene::unusual-height"));
    assert!(sized(["26.9", "12.2", "2.5"]).contains(&"scene::unusual-volume"));
    assert!(!sized(["5.1", "3.6", "2.5"]).iter().any(|code| code.contains("unusual")));
}

#[test]
fn a_careful_colleague_would_mention_it() {
    let pair = |left: &str, right: &str| {
        format!(
            "[[speaker]]\nname = \"l\"\npair = \"p\"\nside = \"left\"\nat = {left}\naim = \"seat\"\ndirectivity = {{ kind = \"omni\" }}\n[[speaker]]\nname = \"r\"\npair = \"p\"\nside = \"right\"\nat = {right}\naim = \"seat\"\ndirectivity = {{ kind = \"omni\" }}\n"
        )
    };
    assert_eq!(codes(&pair("[0.6, 0.9, 1.2]", "[0.6, 2.1, 1.2]")), Vec::<&str>::new());
    assert_eq!(codes(&pair("[0.6, 0.9, 1.2]", "[0.6, 2.3, 1.2]")), ["scene::pair-not-mirrored"]);
    assert_eq!(
        codes(&pair("[0.6, 0.9, 1.3]", "[0.6, 2.1, 1.3]")),
        ["scene::ear-height", "scene::ear-height"]
    );
    assert_eq!(
        codes(&pair("[1.5, 1.4, 1.2]", "[1.5, 1.6, 1.2]")),
        ["scene::too-close", "scene::too-close"]
    );
    let crate_ = "[[furniture]]\nname = \"crate\"\ncorner = [0.4, 0.7, 0]\nsize = [0.4, 0.4, 1.4]\nturn_deg = 30\nmaterial = \"painted brick\"\n";
    assert_eq!(codes(&format!("{SPEAKER}{crate_}")), ["scene::inside-furniture"]);
    let deep = "[[speaker]]\nname = \"s\"\nat = [0.2, 0.9, 1.2]\ndirectivity = { kind = \"piston\", diameter = 0.1, cabinet = [0.3, 0.2, 0.4] }\n";
    assert_eq!(codes(deep), ["scene::cabinet-in-wall"]);
    let solid = |at: &str, more: &str| {
        format!(
            "[[speaker]]\nname = \"s\"\nat = {at}\ndirectivity = {{ kind = \"piston\", diameter = 0.1, cabinet = [0.3, 0.2, 0.4] }}\n{more}"
        )
    };
    assert_eq!(codes(&solid("[0.6, 0.9, 1.2]", "solid = true\n")), [] as [&str; 0]);
    // The bottom of the cabinet is at 1.05 m.
    let shelf = |top: f64| {
        format!(
            "solid = true\n[[furniture]]\nname = \"shelf\"\ncorner = [0.1, 0.5, {:?}]\nsize = [0.5, 1.0, 0.1]\nmaterial = \"painted brick\"\n",
            top - 0.1
        )
    };
    assert_eq!(codes(&solid("[0.6, 0.9, 1.2]", &shelf(1.05))), [] as [&str; 0]);
    assert_eq!(codes(&solid("[0.6, 0.9, 1.2]", &shelf(1.06))), ["scene::cabinet-overlap"]);
    assert_eq!(
        codes(&solid("[0.6, 0.9, 1.2]", "finish = \"painted brick\"\n")),
        ["scene::finish-unused"]
    );
    assert_eq!(
        codes(&solid("[0.6, 0.9, 1.2]", "solid = false\nfinish = \"painted brick\"\n")),
        [] as [&str; 0]
    );
    let unused = "[[panel]]\nname = \"a\"\nset = \"x\"\non = \"left\"\ncentre = [1, 1]\nsize = [1, 1]\nmaterial = \"painted brick\"\n[[variant]]\nname = \"bare\"\nwith = []\n";
    assert_eq!(codes(&format!("{SPEAKER}{unused}")), ["scene::unused-set"]);
    let own = "[[material]]\nname = \"painted brick\"\nabsorption = 0.5\n";
    assert_eq!(codes(&format!("{SPEAKER}{own}")), ["scene::own-over-catalogue"]);
}

/// A speaker on a shelf high up beams over the ears it plays to; whom it plays to is the one it is aimed
/// at, or the highest ears where it is aimed at none.
#[test]
fn a_speaker_well_above_the_ears_is_told_to_tilt() {
    let at = |up_m: f64, aim: &str| {
        format!(
            "[[speaker]]\nname = \"s\"\nat = [0.64, 1.5, {up_m:?}]\n{aim}directivity = {{ kind = \"piston\", diameter = 0.1, cabinet = [0.3, 0.2, 0.25] }}\n"
        )
    };
    let standing = "[[listener]]\nname = \"standing\"\nat = [1.64, 1.5, 1.6]\n";
    let aimed = "aim = \"seat\"\n";
    assert_eq!(codes(&at(1.77, aimed)), ["scene::above-ears"], "and not told twice");
    assert_eq!(codes(&at(1.5, aimed)), ["scene::ear-height"], "0.3 m is not well above");
    assert_eq!(codes(&at(1.77, "")), ["scene::above-ears"]);
    assert_eq!(codes(&(at(1.77, "") + standing)), [] as [&str; 0]);
    assert_eq!(codes(&(at(1.77, aimed) + standing)), ["scene::above-ears"]);
    // 0.577 m up at 1 m away: tan 30° = 0.577.
    let warnings = parse(&at(1.777_35, aimed)).warnings;
    assert!(warnings[0].help.as_ref().unwrap().contains("down at them by 30°"), "{warnings:?}");
}

/// The same desk and crate under, at, and through a cabinet of 0.3 m whose underside is at 1.05 m.
#[test]
fn a_cabinet_that_cuts_through_something_is_told_so() {
    let speaker = |at: &str| {
        format!(
            "[[speaker]]\nname = \"s\"\nat = {at}\ndirectivity = {{ kind = \"piston\", diameter = 0.1, cabinet = [0.3, 0.2, 0.25] }}\n"
        )
    };
    let desk = |top_m: f64, front_m: f64| {
        format!(
            "[[furniture]]\nname = \"desk\"\ncorner = [{front_m:?}, 0.5, {:?}]\nsize = [0.7, 1.6, 0.03]\nmaterial = \"painted brick\"\n",
            top_m - 0.03
        )
    };
    let here = speaker("[0.6, 0.9, 1.2]");
    assert_eq!(codes(&(here.clone() + &desk(0.73, 0.2))), [] as [&str; 0]);
    assert_eq!(codes(&(here.clone() + &desk(1.06, 0.2))), [] as [&str; 0], "a slip of the tape");
    assert_eq!(codes(&(here.clone() + &desk(1.1, 0.2))), ["scene::cabinet-in-furniture"]);
    assert_eq!(codes(&(here.clone() + &desk(1.1, 0.7))), [] as [&str; 0], "before it");
    // With its reference point inside it is told once.
    let block = "[[furniture]]\nname = \"block\"\ncorner = [0.4, 0.7, 0]\nsize = [0.4, 0.4, 1.4]\nmaterial = \"painted brick\"\n";
    assert_eq!(codes(&(here + block)), ["scene::inside-furniture"]);
    // Its underside 5 cm under the floor, its top in the ceiling, its back's corner in the wall when turned.
    for at in ["[0.6, 0.9, 0.1]", "[0.6, 0.9, 2.4]", "[0.22, 0.9, 1.2]\naim = [1.22, 1.9, 1.2]"] {
        let found = codes(&speaker(at));
        assert!(found.contains(&"scene::cabinet-in-wall"), "{at}: {found:?}");
    }
    assert_eq!(codes(&speaker("[0.6, 0.9, 0.16]")), [] as [&str; 0]);
}

#[test]
fn filters_that_do_not_go_together_are_mentioned() {
    let one = |side: &str, y: f64, more: &str| {
        format!(
            "[[speaker]]\nname = \"{side}\"\npair = \"p\"\nside = \"{side}\"\nat = [0.6, {y:?}, 1.2]\n\
             aim = \"seat\"\ndirectivity = {{ kind = \"omni\" }}\n{more}\n"
        )
    };
    let pair = |left: &str, right: &str| one("left", 0.9, left) + &one("right", 2.1, right);
    let sub = "[[speaker]]\nname = \"sub\"\nkind = \"subwoofer\"\nat = [0.3, 0.3, 0.3]\nlow_pass = { hz = 80 }\n";
    let high = "high_pass = { hz = 80 }";
    assert_eq!(codes(&(pair(high, high) + sub)), [] as [&str; 0]);
    assert_eq!(codes(&pair(high, high)), ["scene::nothing-below"], "told once");
    assert_eq!(codes(&(pair(high, "") + sub)), ["scene::pair-differs"]);
    assert_eq!(codes(&pair("", "polarity = \"inverted\"")), ["scene::pair-differs"]);
    assert_eq!(codes(&pair("low_hz = 40", "low_hz = 50")), ["scene::pair-differs"]);
    // A pair that does not stand alike is set right with these.
    assert_eq!(codes(&pair("level_db = -1\ndelay_ms = 0.4", "")), [] as [&str; 0]);
}
