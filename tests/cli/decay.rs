//! What the answer, the tables and the document say of the decay.

use crate::{contents, earline, scene, stdout};
use serde_json::Value;
use std::path::Path;

const MEMORY: &str = "from memory: check the document before you quote it";

fn json(path: &Path, args: &[&str]) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.args(["trace", "--order", "1", "--json"]).args(args).arg(path);
    serde_json::from_str(&stdout(&mut command)).unwrap()
}

/// The answer as one line of words.
fn answer(path: &Path, args: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.args(["trace", "--order", "1", "--full", "--quiet", "--no-png"]).args(args).arg(path);
    stdout(&mut command).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"))
}

/// Nominal time 0.25·(V/100 m³)^⅓, held to 0.2 to 0.4 s by EBU Tech 3276 (read second-hand), and
/// ±0.05 s from 200 Hz to 4 kHz (ITU-R BS.1116-3, figure 1, from memory), in a room of 58.261 m³.
/// Judgements are worked out again from T20 and the limits beside them.
#[test]
fn every_criterion_can_be_chosen() {
    for (key, document) in [
        ("ebu-3276", "EBU Tech 3276"),
        ("itu-bs1116", "ITU-R BS.1116-3"),
        ("aes-td1001", "AES TD1001.1.01-10"),
    ] {
        let asked = ["--criterion", key, "--listener", "seated", "--rays", "8192"];
        let document_of = json(&scene("attic"), &asked);
        let pairs = document_of["pairs"].as_array().unwrap();
        assert!(!pairs.is_empty());
        for decay in pairs.iter().map(|pair| &pair["decay"]) {
            let found = &decay["criterion"];
            assert_eq!((&found["key"], &found["document"]), (&key.into(), &document.into()));
            assert_eq!(found["from_memory"], true);
            assert_eq!(found["tolerance_from_memory"], true);
            assert_eq!(found["nominal_from_memory"], key != "ebu-3276");
            for provenance in ["nominal_provenance", "tolerance_provenance"] {
                assert!(!found[provenance].as_str().unwrap().is_empty());
            }
            let nominal = 0.25 * (58.261_f64 / 100.0).cbrt();
            assert!((number(&found["nominal_s"]) - nominal).abs() < 1e-4);
            let mut sum = 0.0;
            for (band, judged) in found["bands"].as_array().unwrap().iter().enumerate() {
                assert_eq!(judged["hz"], document_of["bands_hz"][band]);
                let [lower, upper] = ["lower_s", "upper_s"].map(|of| number(&judged[of]));
                if (2..7).contains(&band) {
                    assert!((upper - nominal - 0.05).abs() < 1e-4, "{upper}");
                    assert!((nominal - lower - 0.05).abs() < 1e-4, "{lower}");
                    sum += number(&decay["t20_s"][band]);
                }
                let time = number(&decay["t20_s"][band]);
                // Rays may be too few to tell the error.
                let error = decay["uncertainty"]["t20_s"][band].as_f64().unwrap_or(0.0);
                let outside = (time - upper).max(0.0) + (time - lower).min(0.0);
                assert!((number(&judged["outside_s"]) - outside).abs() < 2e-4);
                let expected = match outside.abs() {
                    0.0 => "pass",
                    out if out < error.max(0.02) => "near",
                    _ => "miss",
                };
                assert_eq!(judged["judgement"], expected, "band {band}");
            }
            assert!((number(&found["mean_s"]) - sum / 5.0).abs() < 2e-4);
        }
        let few = ["--criterion", key, "--listener", "seated", "--rays", "512"];
        let said = answer(&scene("attic"), &few);
        assert!(said.contains(&format!("Against {document} ({MEMORY}): 0.21 s")), "{said}");
        assert!(said.contains("pass") && said.contains("miss") && said.contains("at most"));
    }
}

/// A criterion nobody has is refused in one message that lists those there are.
#[test]
fn an_unknown_criterion_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    let run = command.args(["trace", "--criterion", "ebu"]).arg(scene("attic")).assert().code(2);
    let said = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    assert_eq!(said.matches("error:").count(), 1, "{said}");
    for known in ["'ebu'", "--criterion", "ebu-3276", "itu-bs1116", "aes-td1001"] {
        assert!(said.contains(known), "{said}");
    }
    assert!(run.get_output().stdout.is_empty());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// Every number of the table is in the document under the same name, and the other way round;
/// where there is none, both give the same reason.
#[test]
fn the_table_and_the_document_agree() {
    let folder = tempfile::tempdir().unwrap();
    let args = ["--order", "1", "--rays", "1024", "--no-png", "--out", "out"];
    stdout(earline(folder.path()).arg("trace").arg(scene("attic")).args(args));
    let files = contents(&folder.path().join("out"));
    let document: Value = serde_json::from_slice(&files["trace.json"]).unwrap();
    let mut table = csv::Reader::from_reader(files["decay.csv"].as_slice());
    let head = ["listener", "speaker", "figure", "band_hz", "value", "standard_error", "reason"];
    assert_eq!(table.headers().unwrap(), head.as_slice());
    let (mut rows, mut missing) = (0, 0);
    for row in table.records() {
        let row = row.unwrap();
        let pairs = document["pairs"].as_array().unwrap();
        let is_here = |p: &&Value| p["listener"] == row[0] && p["speaker"] == row[1];
        let decay = &pairs.iter().find(is_here).unwrap()["decay"];
        let hz: f64 = row[3].parse().unwrap();
        let bands = document["bands_hz"].as_array().unwrap();
        let band = bands.iter().position(|of| of.as_f64() == Some(hz)).unwrap();
        for (field, value) in
            [(&row[4], &decay[&row[2]][band]), (&row[5], &decay["uncertainty"][&row[2]][band])]
        {
            assert_eq!(field.parse::<f64>().ok(), value.as_f64(), "{row:?}");
        }
        let reasons = decay["missing"].as_array().unwrap();
        let holds = |m: &&Value| {
            m["figure"] == row[2] && m["bands_hz"].as_array().unwrap().contains(&hz.into())
        };
        let reason = reasons.iter().find(holds).map_or("", |m| m["reason"].as_str().unwrap());
        assert_eq!(&row[6], reason);
        assert_eq!(row[4].is_empty(), !reason.is_empty());
        rows += 1;
        missing += usize::from(!reason.is_empty());
    }
    // Two speakers at two seats, 14 figures in 8 bands.
    assert_eq!(rows, 2 * 2 * 14 * 8);
    // Strength is for even sources only, so it is missing for both.
    assert!(missing >= 2 * 2 * 8);
}

/// A room that swallows everything leaves no decay: nothing is judged, and everybody is told why.
#[test]
fn what_cannot_be_read_is_not_judged() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("open.toml");
    std::fs::write(&path, ROOM.replace("SOFT", "1.0").replace("HARD", "1.0")).unwrap();
    let asked = ["--rays", "1024"];
    let decay = json(&path, &asked)["pairs"][0]["decay"].clone();
    assert!(decay["t20_s"][4].is_null());
    let found = &decay["criterion"];
    assert!(found["mean_s"].is_null() && found["mean_reason"].is_string());
    let band = &found["bands"][4];
    assert!(band["judgement"].is_null() && band["outside_s"].is_null());
    assert!(number(&band["upper_s"]) > 0.0);
    let reason = band["reason"].as_str().unwrap();
    assert!(answer(&path, &asked).contains(&format!("– {reason}")));
}

/// `--rays 0` leaves all of it out.
#[test]
fn without_rays_nothing_is_said_of_the_decay() {
    let folder = tempfile::tempdir().unwrap();
    let args = ["--order", "1", "--rays", "0", "--formulas", "--no-png", "--out", "out"];
    let said = stdout(earline(folder.path()).arg("trace").arg(scene("attic")).args(args));
    for word in ["Decay", "Against", "T20", "Trace beside formula", "--criterion", "Eyring"] {
        assert!(!said.contains(word), "{word}");
    }
    let files = contents(&folder.path().join("out"));
    assert!(files.contains_key("plan.svg"));
    assert!(files.keys().all(|name| !name.contains("decay") && !name.contains("reverberation")));
    let document: Value = serde_json::from_slice(&files["trace.json"]).unwrap();
    assert!(document["pairs"][0]["decay"].is_null());
    // Formulas need no rays.
    assert!(document["statistics"]["eyring_s"][4].is_number());
}

#[test]
fn formulas_are_shown_when_asked_for() {
    let names = ["Sabine", "Millington", "Fitzroy", "Arau-Puchades", "Kuttruff", "mean free path"];
    let usual = answer(&scene("teaching-box"), &["--rays", "1024"]);
    assert!(usual.contains("Eyring's formula") && names.iter().all(|name| !usual.contains(name)));
    let all = answer(&scene("teaching-box"), &["--rays", "1024", "--formulas"]);
    assert!(names.iter().all(|name| all.contains(name)), "{all}");
}

/// Mirror walls with an absorbing floor and ceiling: what runs level between the hard walls lasts
/// far longer than any mean allows (flutter; the specular limit of Fitzroy's reasoning, 1959, from
/// memory). The answer names the pair that holds the sound and what absorbs, once for all bands.
#[test]
fn the_answer_says_why_trace_and_formula_part() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("uneven.toml");
    std::fs::write(&path, ROOM.replace("SOFT", "0.7").replace("HARD", "0.03")).unwrap();
    let document = json(&path, &["--rays", "2048"]);
    let parted = document["pairs"][0]["decay"]["disagreements"].as_array().unwrap();
    let one = parted
        .iter()
        .find(|p| p["figure"] == "t20_s" && p["formula"] == "eyring" && p["hz"] == 1000.0)
        .unwrap();
    assert!(number(&one["traced_s"]) > 1.5 * number(&one["formula_s"]), "{one}");
    assert_eq!(one["formula_s"], document["statistics"]["eyring_s"][4]);
    let cause = |name: &str| {
        let all = one["causes"].as_array().unwrap();
        all.iter().find(|cause| cause["cause"] == name).unwrap()
    };
    let uneven = cause("uneven axes");
    let axis = match uneven["holds"][0].as_str().unwrap() {
        "front" => 0,
        "left" => 1,
        other => panic!("{other} and its opposite are soft"),
    };
    assert!((number(&uneven["mean_absorption"][axis]) - 0.03).abs() < 1e-3);
    assert!((number(&uneven["mean_absorption"][2]) - 0.7).abs() < 1e-3);
    assert!(number(&cause("low scattering")["mean_scattering"]) < 1e-9);
    let strong = cause("strong absorber");
    assert_eq!(strong["material"], "soft");
    assert!(["floor", "ceiling"].contains(&strong["absorber"].as_str().unwrap()));
    let said = answer(&path, &["--rays", "2048"]);
    assert!(said.contains("longer than by Eyring's formula"), "{said}");
    assert!(said.contains("wall outlasts the rest (mean absorption at"), "{said}");
    assert_eq!(said.matches("outlasts").count(), 1, "{said}");
    assert!(said.contains("(soft), ") && said.contains("scatter little (0.00"), "{said}");
}

/// Walls that scatter everything and absorb alike make the field that Eyring's formula is for: above the crossover
/// trace and formula agree within 5 % (Eyring 1930), and nothing is made of it. Below it there are modes.
#[test]
fn an_even_field_agrees_with_the_formula() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("even.toml");
    let even = ROOM.replace("SOFT", "0.15").replace("HARD", "0.15");
    std::fs::write(&path, even.replace("scattering = 0.0", "scattering = 1.0")).unwrap();
    let document = json(&path, &["--rays", "4096"]);
    let decay = &document["pairs"][0]["decay"];
    let of_modes = decay["wave_field_bands_hz"].as_array().unwrap();
    assert!((1..4).contains(&of_modes.len()), "{of_modes:?}");
    for band in of_modes.len()..8 {
        let [traced, eyring] =
            [&decay["t20_s"], &document["statistics"]["eyring_s"]].map(|of| number(&of[band]));
        assert!((traced / eyring - 1.0).abs() < 0.05, "{traced} {eyring}");
    }
    let parted = decay["disagreements"].as_array().unwrap();
    let is_of_modes =
        |p: &Value| of_modes.contains(&p["hz"]) && p["causes"][0]["cause"] == "separate modes";
    assert!(parted.iter().all(|p| p["formula"] != "eyring" || is_of_modes(p)), "{parted:?}");
    let said = answer(&path, &["--rays", "4096"]);
    assert!(said.contains("sound is a few modes") && !said.contains("scatter little"), "{said}");
}

const ROOM: &str = r#"
title = "uneven"
[room]
length = 6.0
width = 4.5
height = 2.7
[air]
absorption = false
[surfaces]
front = "hard"
back = "hard"
left = "hard"
right = "hard"
floor = "soft"
ceiling = "soft"
[[material]]
name = "hard"
absorption = HARD
scattering = 0.0
source = "by definition"
[[material]]
name = "soft"
absorption = SOFT
scattering = 0.0
source = "by definition"
[[speaker]]
name = "s"
at = [1.0, 1.4, 1.2]
directivity = { kind = "omni" }
[[listener]]
name = "r"
at = [3.5, 2.0, 1.3]
[model]
reflection = "constant"
"#;

/// The curve goes down to the floor asked for and says how sure it is; without rays it ends with the
/// mirror paths and is certain.
#[test]
fn the_curve_ends_at_its_floor() {
    let path = scene("teaching-box");
    let curve = |args: &[&str]| json(&path, args)["pairs"][0]["energy_time"].clone();
    let end = |curve: &Value| number(&curve["complete_until_ms"]);
    let (bare, short, long) =
        (curve(&["--rays", "0"]), curve(&["--floor", "-30"]), curve(&["--floor=-60"]));
    assert!(end(&bare) < end(&short) && end(&short) < end(&long));
    assert!(bare["uncertainty"].is_null());
    for curve in [&short, &long] {
        let steps = curve["level_db"].as_array().unwrap().len();
        assert!((end(curve) / number(&curve["step_ms"]) - steps as f64).abs() <= 1.0);
        let error = &curve["uncertainty"];
        assert_eq!(error["step_ms"], 1.0);
        let levels = error["level_db"].as_array().unwrap();
        assert!(levels.iter().filter_map(Value::as_f64).any(|db| db > 0.0));
        assert_eq!(error["band_level_db"].as_array().unwrap().len(), 8);
    }
}

/// A floor above the range, below it, or of words is refused in one message.
#[test]
fn an_absurd_floor_is_refused() {
    for floor in ["--floor=0", "--floor=-101", "--floor=low", "--floor=nan"] {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        let out = command.args(["trace", floor]).arg(scene("attic")).output().unwrap();
        assert_eq!(out.status.code(), Some(2), "{floor}");
        assert!(String::from_utf8_lossy(&out.stderr).contains("give "), "{floor}");
        assert!(contents(folder.path()).is_empty());
    }
}

/// How sound spreads is drawn once for all seats, of the speaker asked for, and only from rays.
#[test]
fn spreading_is_drawn_once() {
    let drawn = |args: &[&str]| {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        command
            .args(["trace", "--order", "1", "--no-png", "--out", "o"])
            .args(args)
            .arg(scene("attic"));
        stdout(&mut command);
        contents(&folder.path().join("o"))
    };
    let files = drawn(&["--speaker", "main right", "--rays", "16"]);
    let sheets: Vec<&String> = files.keys().filter(|name| name.contains("spreading")).collect();
    assert_eq!(sheets.len(), 1, "{sheets:?}");
    let svg = files.iter().find(|(name, _)| name.ends_with("spreading.svg")).unwrap().1;
    assert!(String::from_utf8_lossy(svg).contains("How the sound of main right spreads"));
    assert!(drawn(&["--rays", "0"]).keys().all(|name| !name.contains("spreading")));
}
