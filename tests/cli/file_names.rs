//! Names of files that are made from names in a scene.

use crate::console::a_voice;
use crate::{contents, earline, stdout};
use std::path::Path;

/// A small bare room with speakers and listeners of these names, in two states.
fn room(speakers: &[&str], listeners: &[&str], states: [&str; 2]) -> String {
    let walls: String = ["front", "back", "left", "right", "floor", "ceiling"]
        .map(|wall| format!("{wall} = \"painted brick\"\n"))
        .concat();
    let part = |kind: &str, name: &str, place: String| {
        format!("[[{kind}]]\nname = \"{name}\"\nat = {place}\n")
    };
    let apart = |index: usize| 0.6 + 0.7 * index as f64;
    let speakers = speakers.iter().enumerate().map(|(index, name)| {
        part("speaker", name, format!("[0.8, {}, 1.2]", apart(index)))
            + "directivity = { kind = \"omni\" }\n"
    });
    let listeners = listeners
        .iter()
        .enumerate()
        .map(|(index, name)| part("listener", name, format!("[2.4, {}, 1.2]", apart(index))));
    let variants =
        states.map(|name| format!("[[variant]]\nname = \"{name}\"\nwith = []\n")).concat();
    let parts: String = speakers.chain(listeners).collect();
    format!("[room]\nlength = 3.6\nwidth = 3\nheight = 2.4\n[surfaces]\n{walls}{parts}{variants}")
}

/// A second seat called like a picture of the first: `bass-plan.svg` of both.
#[test]
fn a_seat_named_like_a_picture_gets_a_number() {
    let home = tempfile::tempdir().unwrap();
    let text = room(&["s"], &["l", "Plan"], ["a", "b"]);
    std::fs::write(home.path().join("room.toml"), text).unwrap();
    let args =
        ["bass", "room.toml", "--from", "20", "--to", "60", "--at", "50", "--full", "--out", "o"];
    let run = earline(home.path()).args(args).assert().success();
    let said = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    let files = contents(&home.path().join("o"));
    assert!(files.keys().all(|name| said.contains(name.as_str())), "{said}");
    for name in ["bass-plan.svg", "bass-plan.png", "bass-plan-2.svg", "bass-plan-2.png"] {
        assert!(files.contains_key(name), "{name}: {said}");
    }
    // A document, a table, and of each seat the same pictures in two formats.
    assert_eq!(files.len() % 4, 2, "{said}");
}

/// A recording in the folder that a run writes to, named as the run would name a file.
#[test]
fn a_recording_is_never_written_over() {
    let home = tempfile::tempdir().unwrap();
    std::fs::write(home.path().join("room.toml"), room(&["s"], &["l"], ["x", "y"])).unwrap();
    let dry = home.path().join("heard-x.wav");
    a_voice(&dry);
    let recorded = std::fs::read(&dry).unwrap();
    let args = ["listen", "room.toml", "--variant", "x", "--rays", "0", "--dry", "heard-x.wav"];
    let answer = stdout(earline(home.path()).args(args).args(["--out", "."]));
    assert_eq!(std::fs::read(&dry).unwrap(), recorded);
    assert!(contents(home.path()).contains_key("heard-x-2.wav"), "{answer}");
    assert!(answer.contains("heard-x-2.wav"), "{answer}");
}

/// States, speakers and listeners whose names run into each other.
#[test]
fn every_sound_has_its_own_file() {
    let home = tempfile::tempdir().unwrap();
    let text = room(&["a-b", "a"], &["c", "b c"], ["x", "x b-c"]);
    std::fs::write(home.path().join("room.toml"), text).unwrap();
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 48_000,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut dry = hound::WavWriter::create(home.path().join("dry.wav"), spec).unwrap();
    (0..12_000).for_each(|i| dry.write_sample(i % 100 * 100 - 5000).unwrap());
    dry.finalize().unwrap();
    let args = ["--variant", "x", "--against", "x b-c", "--rays", "0", "--dry", "dry.wav"];
    let answer =
        stdout(earline(home.path()).args(["listen", "room.toml", "--out", "o"]).args(args));
    let files = contents(&home.path().join("o"));
    let pairs = 2 * 2 * 2;
    assert_eq!(files.len(), 3 * pairs + 2 * 2 + 2 + 1, "{:?}", files.keys());
    let document: serde_json::Value = serde_json::from_slice(&files["listen.json"]).unwrap();
    let mut named = Vec::new();
    files_in(&document, &mut named);
    named.retain(|name| name != "dry.wav");
    let mut sorted = named.clone();
    sorted.sort();
    sorted.dedup();
    assert_eq!(named.len(), files.len() - 1, "{named:?}");
    assert_eq!(sorted.len(), named.len(), "{named:?}");
    assert!(named.iter().all(|name| files.contains_key(name)), "{named:?}");
    let words: String = answer.split_whitespace().collect();
    let told =
        named.iter().filter(|name| !name.ends_with("-ears.wav") && !name.ends_with("-ambix.wav"));
    told.for_each(|name| assert!(words.contains(name.as_str()), "{name}: {answer}"));
}

/// Every value under the key `file`.
fn files_in(value: &serde_json::Value, found: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(fields) => {
            for (key, value) in fields {
                match value.as_str() {
                    Some(name) if key == "file" => found.push(name.to_owned()),
                    _ => files_in(value, found),
                }
            }
        }
        serde_json::Value::Array(items) => items.iter().for_each(|item| files_in(item, found)),
        _ => {}
    }
}

/// The stem of `...toml` is the way out of a folder.
#[test]
fn no_scene_leads_out_of_the_output_folder() {
    for (name, folder) in [("...toml", "scene"), ("..toml", "scene"), (".toml", ".toml")] {
        let home = tempfile::tempdir().unwrap();
        let text = room(&["s"], &["l"], ["a", "b"]);
        std::fs::write(home.path().join(name), text).unwrap();
        earline(home.path()).args(["tape", name]).assert().success();
        assert!(Path::new(&home.path().join("earline-out").join(folder)).is_dir(), "{name}");
        assert_eq!(std::fs::read_dir(home.path()).unwrap().count(), 2, "{name}");
    }
}
