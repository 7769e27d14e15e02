//! Machine output, read back.

use crate::{earline, scene, scenes_of, stdout};
use serde_json::Value;
use std::path::Path;

fn json(args: &[&str], path: Option<&Path>) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.args(args).args(path).arg("--json");
    serde_json::from_str(&stdout(&mut command)).unwrap()
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

/// Without rays there is no decay, and the document says why.
#[test]
fn no_rays_no_decay() {
    let document = json(&["trace", "--order", "1", "--rays", "0"], Some(&scene("teaching-box")));
    assert_eq!(document["rays"].as_array().unwrap().len(), 0);
    for pair in document["pairs"].as_array().unwrap() {
        assert!(pair["decay"].is_null());
        assert!(pair["decay_reason"].as_str().unwrap().contains("--rays 0"));
    }
}

/// Every figure of a decay, and what else is said of it.
const DECAY_FIGURES: [&str; 14] = [
    "edt_s",
    "t20_s",
    "t30_s",
    "edt_nonlinearity_per_mille",
    "t20_nonlinearity_per_mille",
    "t30_nonlinearity_per_mille",
    "curvature_percent",
    "c50_db",
    "c80_db",
    "d50",
    "centre_time_ms",
    "direct_to_reverberant_db",
    "strength_db",
    "share_within_15_ms",
];
const DECAY_PARTS: [&str; 4] = ["criterion", "disagreements", "uncertainty", "wave_field_bands_hz"];

/// The keys that docs/commands.md promises, and no others.
#[test]
fn trace_has_the_promised_keys() {
    for stem in ["attic", "teaching-box"] {
        let document = json(&["trace", "--order", "1", "--rays", "512"], Some(&scene(stem)));
        assert_eq!(document["schema"], "earline.trace/1");
        assert_eq!(
            keys(&document),
            [
                "air",
                "bands_hz",
                "crossover_hz",
                "pairs",
                "rays",
                "scene",
                "schema",
                "statistics",
                "variant",
                "zones"
            ]
        );
        assert_eq!(document["bands_hz"].as_array().unwrap().len(), 8);
        let crossover_hz = document["crossover_hz"].as_f64().unwrap();
        assert!((40.0..300.0).contains(&crossover_hz), "{crossover_hz}");
        for pair in document["pairs"].as_array().unwrap() {
            assert!(pair["decay_reason"].is_null());
            let decay = &pair["decay"];
            let mut promised = [DECAY_FIGURES.as_slice(), &DECAY_PARTS].concat();
            promised.sort_unstable();
            let mut there = keys(decay);
            there.retain(|key| *key != "missing");
            assert_eq!(there, promised);
            assert_eq!(keys(&decay["uncertainty"]).len(), DECAY_FIGURES.len());
            for name in DECAY_FIGURES {
                let bands =
                    |of: &Value| of[name].as_array().unwrap().iter().map(Value::is_null).collect();
                let (values, errors): (Vec<bool>, Vec<bool>) =
                    (bands(decay), bands(&decay["uncertainty"]));
                // No error without a figure, and no figure missing without a reason.
                assert!(values.iter().zip(&errors).all(|(value, error)| !value || *error));
                let given = |m: &Value| m["figure"] == name && m["reason"].is_string();
                let said = decay["missing"].as_array().is_some_and(|all| all.iter().any(given));
                assert_eq!(values.contains(&true), said, "{name}");
            }
            let curve = &pair["energy_time"];
            assert_eq!(curve["band_level_db"].as_array().unwrap().len(), 8);
            let mut before = 0.0;
            for reflection in pair["reflections"].as_array().unwrap() {
                let after = reflection["after_direct_ms"].as_f64().unwrap();
                assert!(before <= after, "sorted by time");
                before = after;
                let order = reflection["order"].as_u64().unwrap();
                for list in ["surfaces", "points_m"] {
                    assert_eq!(reflection[list].as_array().unwrap().len() as u64, order);
                }
                assert_eq!(reflection["band_level_db"].as_array().unwrap().len(), 8);
            }
        }
    }
}

/// Worked example B: 6 × 4 × 2.5 m, S = (1.0, 1.0, 1.2), R = (3.5, 2.0, 1.2), rigid walls,
/// 343.2 m/s; path, delay and level computed from the image-source formula of Allen and Berkley
/// (JASA 65, 943, 1979; from memory). All arrivals of its table.
#[test]
fn worked_example_through_the_whole_program() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("example.toml");
    std::fs::write(&path, EXAMPLE).unwrap();
    let document = json(&["trace", "--order", "2", "--window", "14.5"], Some(&path));
    let pair = &document["pairs"][0];
    let near = |value: &Value, expected: f64, within: f64| {
        let found = value.as_f64().unwrap();
        assert!((found - expected).abs() <= within, "{found} is not {expected}");
    };
    near(&pair["direct"]["distance_m"], 2.69258, 1e-4);
    near(&pair["direct"]["time_ms"], 7.8455, 1e-3);
    let found = pair["reflections"].as_array().unwrap();
    for (path_m, delay_ms, level_db, order) in [
        (3.60694, 2.6642, -2.539, 1),
        (3.74299, 3.0606, -2.861, 1),
        (3.90512, 3.5330, -3.229, 1),
        (4.58367, 5.5102, -4.621, 2),
        (4.60977, 5.5862, -4.670, 1),
        (4.69148, 5.8243, -4.823, 2),
        (5.19711, 7.2976, -5.712, 2),
        (5.29245, 7.5754, -5.870, 2),
        (5.40833, 7.9130, -6.058, 2),
        (5.59017, 8.4429, -6.345, 1),
        (5.67891, 8.7014, -6.482, 2),
        (6.08358, 9.8805, -7.080, 2),
        (6.16523, 10.1184, -7.196, 2),
        (6.72681, 11.7547, -7.953, 2),
        (7.56637, 14.2010, -8.974, 1),
    ] {
        let one = found
            .iter()
            .find(|r| (r["distance_m"].as_f64().unwrap() - path_m).abs() < 1e-4)
            .unwrap_or_else(|| panic!("no path of {path_m} m"));
        near(&one["after_direct_ms"], delay_ms, 1e-3);
        near(&one["level_db"], level_db, 1e-3);
        assert_eq!(one["order"], order);
    }
}

/// In the worked example the left wall's reflection is at x = 1 + 2.5·1/(1 + 2) = 1.8333 m, 1.2 m
/// up; its zone lies about that point, grows with the wavelength, and bears no panel.
#[test]
fn zones_say_where_a_panel_would_work() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("example.toml");
    std::fs::write(&path, EXAMPLE).unwrap();
    let left = |args: &[&str]| {
        let zones =
            json(&[&["trace", "--order", "1"], args].concat(), Some(&path))["zones"].clone();
        assert_eq!(keys(&zones), ["frequency_hz", "head_half_m", "listeners"]);
        let surfaces = zones["listeners"][0]["surfaces"].as_array().unwrap().clone();
        assert_eq!(surfaces.len(), 6);
        surfaces.into_iter().find(|zone| zone["surface"] == "left").unwrap()
    };
    let usual = left(&[]);
    assert_eq!(usual["from"], serde_json::json!(["front", "floor"]));
    assert_eq!(keys(&usual), ["from", "speakers", "surface", "together"]);
    let zone = &usual["speakers"][0];
    assert_eq!(zone["point_m"], serde_json::json!([1.83333, 0.0, 1.2]));
    assert!(zone["behind"].is_null() && zone["verdict"] == "missed");
    assert_eq!(zone["panels"], serde_json::json!([]));
    let area = |zone: &Value| zone["together"]["area_m2"].as_f64().unwrap();
    assert!(area(&left(&["--zone-hz", "2000"])) < area(&usual));
    assert!(area(&left(&["--head", "300"])) > area(&usual));
    // A still head straight on would have the circle of radius sqrt(λ·d1·d2/(d1 + d2)); this path
    // is 3.905 m long, leans by cos θ = 3/3.905 and divides 1 to 2: 0.17 m² at 8 kHz, within the
    // half per cent by which the exact zone is larger.
    let still = area(&left(&["--head", "0", "--zone-hz", "8000"]));
    let (d1, d2) = (3.90512 / 3.0, 3.90512 * 2.0 / 3.0);
    let circle = std::f64::consts::PI * 343.2 / 8000.0 * d1 * d2 / (d1 + d2);
    assert!((still / (circle * 3.90512 / 3.0) - 1.0).abs() < 0.02, "{still}");
}

const EXAMPLE: &str = r#"
title = "worked example"
[room]
length = 6.0
width = 4.0
height = 2.5
[air]
absorption = false
[surfaces]
front = "rigid"
back = "rigid"
left = "rigid"
right = "rigid"
floor = "rigid"
ceiling = "rigid"
[[material]]
name = "rigid"
absorption = 0.0
scattering = 0.0
source = "by definition"
[[speaker]]
name = "s"
at = [1.0, 1.0, 1.2]
directivity = { kind = "omni" }
[[listener]]
name = "r"
at = [3.5, 2.0, 1.2]
[model]
reflection = "constant"
"#;

/// Statistical figures of trace and check are the same, and none is left out.
#[test]
fn statistics_have_the_promised_keys() {
    let trace = json(&["trace", "--order", "1", "--rays", "0"], Some(&scene("attic")));
    let check = json(&["check"], Some(&scene("attic")));
    let found = &trace["statistics"];
    assert_eq!(found, &check["statistics"]);
    let mut promised = STATISTICS.to_vec();
    promised.sort_unstable();
    assert_eq!(keys(found), promised);
    // Sabine's K·V/(A + 4mV) with K = 24·ln 10/c (1900; form read second-hand) from the areas beside it.
    let at = |key: &str| found[key][4].as_f64().unwrap();
    let c = trace["air"]["speed_of_sound_m_s"].as_f64().unwrap();
    let area = at("absorption_area_m2") + at("air_absorption_area_m2");
    // 5.80 × 4.10 × 2.45 m less desk and sofa.
    let air_m3 = 58.261 - 0.75 * 1.6 * 0.04 - 0.9 * 1.9 * 0.45;
    let sabine = 24.0 * 10f64.ln() / c * air_m3 / area;
    assert!((sabine / at("sabine_s") - 1.0).abs() < 1e-3, "{sabine}");
}

const STATISTICS: [&str; 11] = [
    "sabine_s",
    "eyring_s",
    "millington_s",
    "fitzroy_s",
    "arau_puchades_s",
    "kuttruff_s",
    "critical_distance_m",
    "absorption_area_m2",
    "air_absorption_area_m2",
    "mean_free_path_m",
    "schroeder_hz",
];

/// A room that swallows everything has no reflection with a level; what cannot be said is null
/// with its reason.
#[test]
fn silence_is_null_with_a_reason() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("open.toml");
    std::fs::write(&path, EXAMPLE.replace("absorption = 0.0", "absorption = 1.0")).unwrap();
    let document = json(&["trace", "--order", "1"], Some(&path));
    for reflection in document["pairs"][0]["reflections"].as_array().unwrap() {
        assert!(reflection["level_db"].is_null() && reflection["level_reason"].is_string());
    }
    std::fs::write(&path, EXAMPLE).unwrap();
    let rigid = json(&["trace", "--order", "1"], Some(&path));
    let statistics = &rigid["statistics"];
    assert!(statistics["sabine_s"][0].is_null() && statistics["reason"].is_string());
    for figure in STATISTICS.iter().filter(|key| key.ends_with("_s")) {
        assert!(statistics[*figure][0].is_null(), "{figure}");
        let missing = statistics["missing"].as_array().unwrap();
        let said = missing.iter().find(|one| one["figure"] == *figure).unwrap();
        assert_eq!(said["bands_hz"].as_array().unwrap().len(), 8);
        assert!(said["reason"].as_str().unwrap().contains("nothing absorbs"));
    }
    // Mean free path 4V/S of this box: 2.4490 m, computed.
    assert!((statistics["mean_free_path_m"].as_f64().unwrap() - 2.4490).abs() < 1e-4);
}

#[test]
fn materials_list_the_catalogue_and_the_scene() {
    let built_in = json(&["materials"], None);
    assert_eq!(built_in["schema"], "earline.materials/1");
    let rows = built_in["materials"].as_array().unwrap();
    assert!(rows.len() >= 35);
    for row in rows {
        for list in ["absorption", "absorption_normal", "scattering"] {
            let values = row[list].as_array().unwrap();
            assert_eq!(values.len(), 8);
            assert!(values.iter().all(|v| (0.0..=1.0).contains(&v.as_f64().unwrap())), "{row}");
        }
        assert!(!row["source"].as_str().unwrap().is_empty());
    }
    let with_scene = json(&["materials"], Some(&scene("attic")));
    let all = with_scene["materials"].as_array().unwrap();
    assert!(all.len() > rows.len());
    assert_eq!(all[0]["name"], "100 mm wool, 50 mm gap");
}

#[test]
fn check_says_what_the_room_is() {
    for path in scenes_of("scenes") {
        assert_eq!(json(&["check"], Some(&path))["schema"], "earline.check/1");
    }
    let attic = json(&["check"], Some(&scene("attic")));
    // 5.80 × 4.10 × 2.45 m by plain arithmetic.
    assert!((attic["room"]["volume_m3"].as_f64().unwrap() - 58.261).abs() < 1e-3);
    assert_eq!(attic["room"]["proportions"]["rule"], "met");
    let bedroom = json(&["check"], Some(&scene("bedroom")));
    let warnings = bedroom["warnings"].as_array().unwrap();
    assert!(!warnings.is_empty());
    assert!(warnings.iter().all(|w| w["line"].as_u64().unwrap() > 1 && w["message"].is_string()));
}
