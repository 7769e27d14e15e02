//! The setting-out sheet: the same lengths in words, in JSON and against the scene.

use crate::{contents, earline, scene, scenes_of, stdout};
use earline_engine::scene::{NoAttachments, Scene};

/// Every mark of every demo room gives its coordinates back to half a millimetre.
#[test]
fn marks_reproduce_the_scene() {
    for path in scenes_of("scenes") {
        let folder = tempfile::tempdir().unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        let scene = Scene::parse(&text, &NoAttachments).unwrap().scene;
        let tape = stdout(earline(folder.path()).args(["tape", "--json"]).arg(&path));
        let tape: serde_json::Value = serde_json::from_str(&tape).unwrap();
        assert_eq!(tape["schema"], "earline.tape/1");
        let speakers =
            scene.speakers().iter().map(|speaker| ("speaker", &speaker.name, speaker.at));
        let heads = scene.listeners().iter().map(|head| ("listener", &head.name, head.at));
        let marks = tape["marks"].as_array().unwrap();
        assert_eq!(marks.len(), scene.speakers().len() + scene.listeners().len());
        for (kind, name, at) in speakers.chain(heads) {
            let mark = marks.iter().find(|mark| mark["kind"] == kind && mark["name"] == **name);
            let mark = mark.unwrap();
            let metres = |key: &str| mark[key].as_f64().unwrap();
            for (key, coordinate) in
                [("from_front_m", at.x), ("from_left_m", at.y), ("above_floor_m", at.z)]
            {
                assert!((metres(key) - coordinate).abs() < 0.0005, "{name} {key}");
            }
            let width = tape["room"]["width_m"].as_f64().unwrap();
            assert!((metres("from_left_m") + metres("from_right_m") - width).abs() < 0.0005);
        }
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}

#[test]
fn the_sheet_is_words_document_and_drawing() {
    let folder = tempfile::tempdir().unwrap();
    let answer = stdout(earline(folder.path()).args(["tape", "--full"]).arg(scene("attic")));
    for says in ["Make mark A first: seated, 2200 mm", "1600 mm", "29.9° in", "Take care"] {
        assert!(answer.contains(says), "{says}: {answer}");
    }
    let files = contents(&folder.path().join("earline-out/attic"));
    assert_eq!(files.keys().collect::<Vec<_>>(), ["tape.json", "tape.png", "tape.svg"]);
    let other = tempfile::tempdir().unwrap();
    let again = ["tape", "--threads", "1", "--out", "again"];
    stdout(earline(other.path()).args(again).arg(scene("attic")));
    assert!(contents(&other.path().join("again")) == files, "equal bytes");
}

/// Feet on request, in a metric scene: 2.2 m are 7 ft 2.61 in.
#[test]
fn units_are_a_matter_of_choice() {
    let folder = tempfile::tempdir().unwrap();
    let args = ["tape", "--units", "imperial"];
    let answer = stdout(earline(folder.path()).args(args).arg(scene("attic")));
    assert!(answer.contains("7 ft 2 5/8 in") && !answer.contains(" mm"), "{answer}");
    let args = ["tape", "--units", "metric"];
    let answer = stdout(earline(folder.path()).args(args).arg(scene("garage")));
    assert!(answer.contains("2318 mm") && !answer.contains(" ft"), "{answer}");
}

/// 5 cm off the centre line between speakers 1.6 m apart at the attic's seat, by Pythagoras: sides
/// 1.6273 and 1.5774 m, 49.9 mm or 145 µs apart at 343.2 m/s.
#[test]
fn a_mismatch_is_told_in_millimetres_microseconds_and_words() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(scene("attic")).unwrap();
    let moved = text.replace(
        "\"2.05 m\", \"1.20 m\"]\n\n[[listener]]",
        "\"2.10 m\", \"1.20 m\"]\n\n[[listener]]",
    );
    assert_ne!(moved, text);
    std::fs::write(folder.path().join("moved.toml"), moved).unwrap();
    let args = ["tape", "--full", "--listener", "seated", "moved.toml"];
    let answer = stdout(earline(folder.path()).args(args));
    let answer = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    let left = (1.39_f64.hypot(0.85) - 1.39_f64.hypot(0.75)) * 1000.0;
    let later = left / 343.2 * 1000.0;
    assert!(
        answer.contains(&format!("left is {left:.0} mm farther and {later:.0} µs later")),
        "{answer}"
    );
    assert!(answer.contains("pulled clearly toward the nearer speaker"), "{answer}");
    assert!(answer.contains("50 mm to the left"), "{answer}");
    let args = ["tape", "--listener", "seated", "moved.toml"];
    let brief = stdout(earline(folder.path()).args(args));
    let brief = brief.split_whitespace().collect::<Vec<_>>().join(" ");
    for says in [
        format!(
            "Poor seated: left is {left:.0} mm farther and {later:.0} µs later (ITU-R BS.1116,"
        ),
        "1. mains at seated: lean 4 mm forward and 50 mm to the left".to_owned(),
    ] {
        assert!(brief.contains(&says), "{says}: {brief}");
    }
}

/// A seat 30 cm too far back, on the centre line, 1.69 m from the line between speakers 1.6 m apart: by the
/// tangent they are 50.7° apart, and as far apart as they are from the seat at √(1.69² + 0.8²) m.
#[test]
fn what_to_move_comes_before_the_marks() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(scene("attic")).unwrap();
    let moved = text.replace("[\"2.20 m\", \"2.05 m\", \"1.20 m\"]", "[2.50, 2.05, 1.20]");
    assert_ne!(moved, text);
    std::fs::write(folder.path().join("moved.toml"), moved).unwrap();
    let args = ["tape", "--no-png", "--listener", "seated", "moved.toml"];
    let answer = stdout(earline(folder.path()).args(args));
    let words = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    let angle = 2.0 * (0.8_f64 / 1.69).atan().to_degrees();
    let [forward, side] =
        [1.69 - 0.8 * 3.0_f64.sqrt(), 1.69_f64.hypot(0.8)].map(|metres| metres * 1000.0);
    for says in [
        format!("{angle:.1}° against 60° (ITU-R BS.775-3)"),
        format!("move the chair {forward:.0} mm forward for 60° instead of {angle:.1}°"),
        format!("set the two {side:.0} mm apart instead of 1600 mm"),
    ] {
        assert!(words.contains(&says), "{says}: {answer}");
    }
    let [first, marks] = ["  1. ", "Marks"].map(|start| answer.find(start).unwrap());
    assert!(first < marks, "{answer}");
}

#[test]
fn lines_keep_to_narrow_terminals() {
    // 80 and 120 columns are held with the snapshots, in every room.
    for path in scenes_of("scenes") {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        command.env("COLUMNS", "60").args(["tape", "--no-png"]).arg(&path);
        let brief = stdout(&mut command);
        for line in brief.lines().chain(stdout(command.arg("--full")).lines()) {
            assert!(line.chars().count() <= 60, "{line}");
        }
    }
}

#[test]
fn wrong_names_and_scenes_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for args in
        [["--listener", "nobody"], ["--speaker", "none"], ["--variant", "never"], ["--units", "x"]]
    {
        let output =
            earline(folder.path()).arg("tape").arg(scene("attic")).args(args).assert().code(2);
        assert!(output.get_output().stdout.is_empty());
    }
    earline(folder.path()).args(["tape", "missing.toml"]).assert().code(2);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// Heights and tolerances are on the sheet, in the JSON, and follow the time spent seated.
#[test]
fn heights_and_tolerances_are_on_the_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let ask = |share: &str| {
        let args = ["tape", "--json", "--seated", share];
        let text = stdout(earline(folder.path()).args(args).arg(scene("attic")));
        serde_json::from_str::<serde_json::Value>(&text).unwrap()
    };
    let tape = ask("75");
    let heights = &tape["heights"][0];
    let between = heights["choices"][2]["left_above_floor_m"].as_f64().unwrap();
    assert!((between - (0.75 * 1.2 + 0.25 * 1.6)).abs() < 1e-9);
    for choice in heights["choices"].as_array().unwrap() {
        assert_eq!(choice["heard"].as_array().unwrap().len(), 2);
    }
    let colour = |choice: usize, ears: usize| {
        heights["choices"][choice]["heard"][ears]["direct_colour_db"].as_f64().unwrap()
    };
    assert!(colour(1, 0) < colour(1, 1) && colour(3, 1) < colour(3, 0));
    let marks = tape["tolerances"]["marks"].as_array().unwrap();
    assert_eq!(marks.len(), tape["marks"].as_array().unwrap().len());
    for mark in marks {
        for way in ["along_room", "across_room", "up"] {
            let free = mark[way]["free_m"].as_f64().unwrap();
            assert!((0.0..=0.2).contains(&free));
            assert_eq!(mark[way]["changes_first"].is_null(), free > 0.199, "{mark}");
        }
    }
    let answer = stdout(earline(folder.path()).args(["tape", "--full"]).arg(scene("garage")));
    let words = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("from published body measurements"), "{answer}");
    assert!(words.contains("How far a mark may be off"), "{answer}");
    for wrong in ["101", "-1", "half"] {
        let args = ["tape", "--seated", wrong];
        earline(folder.path()).args(args).arg(scene("attic")).assert().code(2);
    }
}
