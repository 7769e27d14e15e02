//! `earline wave`: films, their pictures, the story beside them.

use crate::{contents, earline, scene, scenes_of, stdout};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

/// A short film: 3 ms at 200 times are 12 pictures.
const SHORT: [&str; 4] = ["--until", "3", "--slow", "200"];

/// All files of a folder and of the folders in it, by their paths.
fn everything(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        if path.is_dir() {
            let inner = contents(&path).into_iter();
            all.extend(inner.map(|(inside, bytes)| (format!("{name}/{inside}"), bytes)));
        } else {
            all.insert(name, std::fs::read(path).unwrap());
        }
    }
    all
}

fn document(args: &[&str], path: &Path) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let json = stdout(earline(folder.path()).args(["wave", "--json"]).args(args).arg(path));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is written");
    serde_json::from_str(&json).unwrap()
}

/// Every picture of a GIF as a player shows it: what is new over what was there.
fn played(file: &[u8]) -> Vec<(u16, Vec<u8>)> {
    let mut options = gif::DecodeOptions::new();
    options.set_color_output(gif::ColorOutput::RGBA);
    let mut film = options.read_info(file).unwrap();
    let size = [usize::from(film.width()), usize::from(film.height())];
    assert_eq!(film.repeat(), gif::Repeat::Infinite);
    let mut shown = vec![0; 4 * size[0] * size[1]];
    let mut all = Vec::new();
    while let Some(picture) = film.read_next_frame().unwrap() {
        let [left, top] = [picture.left, picture.top].map(usize::from);
        let wide = 4 * usize::from(picture.width);
        for (row, pixels) in picture.buffer.chunks_exact(wide).enumerate() {
            let at = 4 * ((top + row) * size[0] + left);
            for (old, new) in shown[at..at + wide].chunks_exact_mut(4).zip(pixels.chunks_exact(4)) {
                if new[3] == 255 {
                    old.copy_from_slice(new);
                }
            }
        }
        all.push((picture.delay, shown.clone()));
    }
    all
}

/// The film has as many pictures as were asked for, at 20 a second, the last one for two seconds; and
/// each of them is the PNG file of its number, pixel by pixel.
#[test]
fn a_film_shows_its_pictures_one_by_one() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    let both = ["--cut", "plan", "--cut", "section", "--out", "o"];
    let answer = stdout(command.arg("wave").args(SHORT).args(both).arg(scene("attic")));
    let files = everything(&folder.path().join("o"));
    assert!(files.keys().all(|name| !name.contains(".part")), "something half-written is left");
    for cut in ["wave-plan", "wave-section"] {
        assert!(files[&format!("{cut}.png")].starts_with(b"\x89PNG"), "the poster");
        assert!(files[&format!("{cut}.svg")].starts_with(b"<svg"));
        let played = played(&files[&format!("{cut}.gif")]);
        let delays: Vec<u16> = played.iter().map(|(delay, _)| *delay).collect();
        assert_eq!(delays, [5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 200]);
        for (index, (_, shown)) in played.iter().enumerate() {
            let name = format!("{cut}/{:04}.png", index + 1);
            let picture = image::load_from_memory(&files[&name]).unwrap().into_rgba8();
            assert_eq!((picture.width(), picture.height()), (720, 540));
            assert!(picture.into_raw() == *shown, "{name}");
        }
        assert!(played.windows(2).all(|two| two[0].1 != two[1].1), "something moves");
        assert!(!files.contains_key(&format!("{cut}/0013.png")));
        assert!(answer.contains(&format!("{cut}.gif")));
    }
    assert_eq!(files.len(), 1 + 2 * (3 + 12));
}

/// A shorter film in the same folder leaves the end of the longer one there, and says so.
#[test]
fn pictures_of_an_older_film_are_told_of() {
    let folder = tempfile::tempdir().unwrap();
    let note = |until: &str| {
        let mut command = earline(folder.path());
        command.args(["wave", "--slow", "100", "--out", "o", "--until", until]);
        let output = command.arg(scene("study")).assert().success();
        String::from_utf8(output.get_output().stderr.clone()).unwrap()
    };
    let wrote = note("2");
    assert!(
        wrote.contains("wave-plan/0001.png to 0004.png") && !wrote.contains("older"),
        "{wrote}"
    );
    assert!(note("1").contains("from 0003 on in wave-plan are of an older, longer film"));
}

#[test]
fn the_same_bytes_on_one_thread_and_on_two() {
    let run = |threads: &str| {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        command.args(["wave", "--threads", threads, "--out", "o", "--until", "6", "--slow", "100"]);
        let answer = stdout(command.arg(scene("garage")));
        (answer, everything(&folder.path().join("o")))
    };
    let alone = run("1");
    assert!(alone.1.contains_key("wave-plan/0012.png"));
    assert!(alone == run("2"));
}

/// The story of the attic by the tape: the left speaker is 0.81 m from the front wall and 1.60 m from
/// the seat, and 20 °C are 343.2 m/s (ISO 9613-1, computed).
#[test]
fn the_story_is_told_in_words_and_in_json() {
    let told = document(&["--until", "12"], &scene("attic"));
    assert_eq!(told["schema"], "earline.wave/1");
    assert_eq!((&told["pictures"], &told["slow"]), (&Value::from(120), &Value::from(500)));
    let all = told["happenings"].as_array().unwrap();
    let times: Vec<f64> = all.iter().map(|h| h["time_ms"].as_f64().unwrap()).collect();
    assert!(times.is_sorted() && times.iter().all(|ms| *ms <= 12.0));
    let of = |what: &str, key: &str, name: &str| {
        all.iter().find(|h| h["what"] == what && h[key] == name).unwrap()
    };
    let near = |value: &Value, expected: f64| (value.as_f64().unwrap() - expected).abs() < 0.01;
    let wall = of("meets", "of", "front");
    assert!(near(&wall["distance_m"], 0.81) && near(&wall["time_ms"], 810.0 / 343.2));
    assert!(near(&wall["film_s"], 0.5 * 810.0 / 343.2));
    let passes = of("passes", "listener", "seated");
    assert!(near(&passes["distance_m"], 1.39f64.hypot(0.8)) && passes["shadowed"] == false);
    let loudest = of("first and loudest reflection", "listener", "seated");
    assert_eq!(loudest["surfaces"], serde_json::json!(["desk/top"]));
    // What the trace says of that path.
    let folder = tempfile::tempdir().unwrap();
    let trace = ["trace", "--json", "--rays", "0", "--order", "1"];
    let traced = stdout(earline(folder.path()).args(trace).arg(scene("attic")));
    let traced: Value = serde_json::from_str(&traced).unwrap();
    let pair = traced["pairs"].as_array().unwrap().iter();
    let mut pair = pair.filter(|p| p["speaker"] == "main left" && p["listener"] == "seated");
    let reflections = pair.next().unwrap()["reflections"].as_array().unwrap().clone();
    let desk = reflections.iter().find(|r| r["surfaces"] == loudest["surfaces"]).unwrap();
    assert_eq!(desk["level_db"], loudest["level_db"]);
    assert_eq!(desk["distance_m"], loudest["distance_m"]);
    let cut = &told["cuts"][0];
    assert_eq!((&cut["cut"], &cut["above_floor_m"]), (&Value::from("plan"), &Value::from(1.2)));
    let moments = cut["moments"].as_array().unwrap();
    assert_eq!(moments.len(), 12);
    assert_eq!(moments[0]["fronts"], 1, "after a millisecond nothing is met");
    // Its circle: 2π times 0.3432 m.
    assert!(near(&moments[0]["length_m"], std::f64::consts::TAU * 0.3432));

    let folder = tempfile::tempdir().unwrap();
    let answer = stdout(earline(folder.path()).arg("wave").args(SHORT).arg(scene("attic")));
    for says in ["meets the front wall", "200 times slower than life", "0.81 m", "starting point"] {
        assert!(answer.contains(says), "{says}: {answer}");
    }
    assert!(!answer.contains("passes seated"), "that is later than 3 ms");
}

/// Every demo room, every cut; and the octave band is a choice.
#[test]
fn every_room_can_be_filmed() {
    for path in scenes_of("scenes") {
        let args = ["--until", "4", "--cut", "section", "--cut", "plan", "--cut", "plan"];
        let told = document(&args, &path);
        let cuts = told["cuts"].as_array().unwrap();
        let names: Vec<&str> = cuts.iter().map(|cut| cut["cut"].as_str().unwrap()).collect();
        assert_eq!(names, ["plan", "section"], "each once, in one order");
        assert!(cuts.iter().all(|cut| cut["moments"][3]["fronts"].as_u64() > Some(1)));
    }
    let bands = |hz: &str| document(&["--until", "4", "--hz", hz], &scene("attic"));
    let (low, high) = (bands("125"), bands("8000"));
    assert_eq!(low["band_hz"], 125.0);
    let loudest = |told: &Value| told["cuts"][0]["moments"][1]["loudest_db"].as_f64().unwrap();
    // On the axis both are 0 dB at 1 m; after 0.69 m they are 3.3 dB, less what the air takes.
    assert!((loudest(&low) - loudest(&high)).abs() < 0.3);
}

#[test]
fn lines_keep_to_the_width_of_the_terminal() {
    use unicode_width::UnicodeWidthStr;
    let folder = tempfile::tempdir().unwrap();
    for columns in ["60", "100"] {
        let mut command = earline(folder.path());
        command.env("COLUMNS", columns).arg("wave").args(SHORT).arg(scene("garage"));
        for line in stdout(&mut command).lines() {
            assert!(line.width() <= columns.parse().unwrap(), "{line}");
        }
    }
}

#[test]
fn wrong_wishes_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for args in [
        &["--speaker", "nobody"][..],
        &["--listener", "nobody"],
        &["--variant", "nobody"],
        &["--cut", "slanted"],
        &["--slow", "1"],
        &["--slow", "many"],
        &["--until", "0"],
        &["--until", "201"],
        &["--until", "nan"],
        &["--until", "200", "--slow", "5000"],
        &["--hz", "440"],
        &["--json", "--out", "x"],
    ] {
        let mut command = earline(folder.path());
        let output = command.arg("wave").arg(scene("attic")).args(args).assert().code(2);
        let message = String::from_utf8(output.get_output().stderr.clone()).unwrap();
        assert_eq!(message.matches("error:").count(), 1, "{args:?}: {message}");
        assert!(output.get_output().stdout.is_empty());
    }
    let many = ["--until", "200", "--slow", "5000"];
    let output =
        earline(folder.path()).arg("wave").arg(scene("attic")).args(many).output().unwrap();
    let message = String::from_utf8(output.stderr).unwrap();
    assert!(message.contains("20000 pictures") && message.contains("help:"), "{message}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
