//! Subwoofers on the command line: what `bass` advises holds when it is done, and what they have no part in.

#![expect(clippy::cast_possible_truncation, reason = "samples of 16 bit")]

use super::{contents, earline, scene, stdout};
use serde_json::Value;
use std::f64::consts::TAU;
use std::path::Path;

fn json(folder: &Path, args: &[&str]) -> Value {
    serde_json::from_str(&stdout(earline(folder).args(args).arg("--json"))).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value}"))
}

/// Told to delay both subwoofers and to invert them, one does so, and finds what was promised.
#[test]
fn a_setting_that_is_advised_does_what_it_promised() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(scene("cellar")).unwrap();
    std::fs::write(folder.path().join("room.toml"), &text).unwrap();
    let args = ["bass", "room.toml", "--to", "150"];
    let before = json(folder.path(), &args);
    let promised = &before["subwoofers"]["alignment"];
    let delay_ms = number(&promised["delay_ms"]);
    assert!(0.0 < delay_ms && promised["invert"] == true, "{promised}");
    assert!(number(&promised["best_db"]) > number(&promised["now_db"]) + 1.0, "{promised}");
    let line = format!("Delay both subwoofers by {delay_ms:.1} ms more and invert their polarity");
    let brief = stdout(earline(folder.path()).args(args).args(["--no-png", "--out", "o"]));
    let brief = brief.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(brief.contains(&line), "{brief}");

    let low_pass = "low_pass = { hz = 80, order = 4 }\n";
    assert_eq!(text.matches(low_pass).count(), 2, "one a subwoofer");
    let later = text
        .replace("delay_ms = 0 ", "# ")
        .replace("polarity = \"normal\"", "#")
        .replace(low_pass, &format!("{low_pass}delay_ms = {delay_ms}\npolarity = \"inverted\"\n"));
    std::fs::write(folder.path().join("room.toml"), later).unwrap();
    let after = json(folder.path(), &args);
    let held = &after["subwoofers"]["alignment"];
    assert!((number(&held["now_db"]) - number(&promised["best_db"])).abs() < 0.01, "{held}");
    let worst = |document: &Value| -> f64 {
        let sums = document["subwoofers"]["sums"].as_array().unwrap();
        let all = sums.iter().flat_map(|sum| sum["cancellations"].as_array().unwrap());
        all.map(|row| number(&row["loss_db"])).fold(0.0, f64::min)
    };
    assert!(worst(&before) < -6.0 && worst(&before) < worst(&after), "{}", worst(&after));
}

/// Without its lower limit a small speaker is credited with bass that it does not have.
#[test]
fn a_lower_limit_takes_the_deep_bass_away() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(scene("cellar")).unwrap();
    let at_30_hz = |text: &str| {
        std::fs::write(folder.path().join("room.toml"), text).unwrap();
        let args = ["bass", "room.toml", "--from", "25", "--to", "40", "--speaker", "left"];
        let document = json(folder.path(), &args);
        let hz = document["frequencies_hz"].as_array().unwrap();
        let place = hz.iter().position(|hz| number(hz) > 30.0).unwrap();
        (number(&hz[place]), number(&document["pairs"][0]["level_db"][place]))
    };
    let (hz, with_db) = at_30_hz(&text);
    let without: Vec<&str> = text.lines().filter(|line| !line.starts_with("low_")).collect();
    let without = without
        .join("\n")
        .replace("kind = \"subwoofer\"", "kind = \"subwoofer\"\nlow_pass = { hz = 80 }");
    let (_, without_db) = at_30_hz(&without);
    // Butterworth of the fourth order at 62 Hz.
    let fallen_db = -10.0 * (1.0 + (62.0 / hz).powi(8)).log10();
    assert!((with_db - without_db - fallen_db).abs() < 0.01, "{with_db} {without_db} {fallen_db}");
}

/// Reflections are listed of the other speakers; a subwoofer that is named is refused with the command that knows it.
#[test]
fn a_subwoofer_has_no_reflections() {
    let folder = tempfile::tempdir().unwrap();
    let room = scene("cellar");
    let args = ["trace", room.to_str().unwrap(), "--rays", "0", "--order", "1"];
    let document = json(folder.path(), &args);
    let pairs = document["pairs"].as_array().unwrap();
    assert!(
        pairs.iter().all(|pair| ["left", "right"].contains(&pair["speaker"].as_str().unwrap()))
    );
    assert_eq!(pairs.len(), 4);
    for command in ["trace", "compare", "treat", "wave", "report"] {
        let mut earline = earline(folder.path());
        let run = earline.arg(command).arg(&room).args(["--speaker", "side sub"]).assert().code(2);
        let told = String::from_utf8(run.get_output().stderr.clone()).unwrap();
        assert!(
            told.contains("`side sub` is a subwoofer") && told.contains("earline bass"),
            "{told}"
        );
        assert!(contents(folder.path()).is_empty());
    }
}

/// The low end of both channels by the subwoofers, which may be left out by naming the others.
#[test]
fn subwoofers_play_along_in_what_is_heard() {
    let folder = tempfile::tempdir().unwrap();
    let spec = hound::WavSpec {
        channels: 2,
        sample_rate: 48_000,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::create(folder.path().join("dry.wav"), spec).unwrap();
    for sample in 0..48_000 {
        let time_s = f64::from(sample) / 48_000.0;
        let tones = (TAU * 50.0 * time_s).sin() + (TAU * 440.0 * time_s).sin();
        for _ in 0..2 {
            writer.write_sample((8000.0 * tones) as i16).unwrap();
        }
    }
    writer.finalize().unwrap();
    // Level of the lower tone over that of the upper one in the left ear, and the answer.
    let heard = |more: &[&str]| {
        let room = scene("cellar");
        let args =
            ["listen", "--dry", "dry.wav", "--listener", "seat", "--rays", "256", "--out", "o"];
        let mut run = earline(folder.path());
        let answer = stdout(run.args(args).args(more).arg(room));
        let files = contents(&folder.path().join("o"));
        let reader = hound::WavReader::new(&files["heard-everything-in.wav"][..]).unwrap();
        let samples: Vec<f64> =
            reader.into_samples::<f32>().map(|s| f64::from(s.unwrap())).step_by(2).collect();
        let level = |hz: f64| {
            let sum = |part: fn(f64) -> f64| {
                let term = |(i, s): (usize, &f64)| s * part(TAU * hz * i as f64 / 48_000.0);
                samples.iter().enumerate().map(term).sum::<f64>()
            };
            20.0 * sum(f64::sin).hypot(sum(f64::cos)).log10()
        };
        (level(50.0) - level(440.0), answer.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let (with_db, answer) = heard(&[]);
    let told = "left by left, right by right, its low end by both subwoofers as well";
    assert!(answer.contains(told), "{answer}");
    assert!(answer.contains("there are the filters, levels, delays"), "{answer}");
    let (without_db, answer) = heard(&["--speaker", "left", "--speaker", "right"]);
    assert!(!answer.contains("subwoofers"), "{answer}");
    // At 50 Hz the small speakers are 18 dB down by their high-pass and 8 dB by their boxes.
    assert!(with_db > without_db + 10.0, "{with_db} {without_db}");
}
