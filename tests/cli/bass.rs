//! `earline bass`: the response of every speaker at every seat, in words, tables and charts.

use super::{contents, earline, scene, scenes_of, stdout};

fn json(folder: &std::path::Path, args: &[&str]) -> serde_json::Value {
    let args = [&["bass", "--json"], args].concat();
    serde_json::from_str(&stdout(earline(folder).args(args).arg(scene("attic")))).unwrap()
}

#[test]
fn the_document_has_every_seat_and_mode() {
    let folder = tempfile::tempdir().unwrap();
    let document = json(folder.path(), &["--to", "120"]);
    assert_eq!(document["schema"], "earline.bass/1");
    let hz = document["frequencies_hz"].as_array().unwrap();
    assert!(hz.windows(2).all(|pair| pair[0].as_f64() < pair[1].as_f64()));
    let pairs = document["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 4, "two speakers at two listeners");
    for pair in pairs {
        let figures = |key: &str| -> Vec<f64> {
            pair[key].as_array().unwrap().iter().map(|db| db.as_f64().unwrap()).collect()
        };
        let (least, level, most) =
            (figures("least_db"), figures("level_db"), figures("greatest_db"));
        assert_eq!(level.len(), hz.len());
        for i in 0..level.len() {
            assert!(least[i] <= level[i] + 1e-9 && level[i] <= most[i] + 1e-9);
        }
    }
    // The lowest mode of a room 5.8 m long: half the speed of sound over the length.
    let lowest = document["modes"][0]["hz"].as_f64().unwrap();
    assert!((lowest - 343.2 / 2.0 / 5.8).abs() < 0.05, "{lowest}");
    assert_eq!(document["left_out"].as_array().unwrap().len(), 3);
}

#[test]
fn the_same_bytes_on_any_number_of_threads() {
    let folder = tempfile::tempdir().unwrap();
    let on = |threads: &str| json(folder.path(), &["--to", "90", "--threads", threads]);
    assert_eq!(on("1"), on("2"));
    assert_eq!(on("1"), on("3"));
}

#[test]
fn files_and_lines() {
    for path in scenes_of("scenes") {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        command.env("COLUMNS", "70").args(["bass", "--to", "100", "--out", "o"]).arg(&path);
        for line in stdout(&mut command).lines() {
            assert!(line.chars().count() <= 70, "{line}");
        }
        let files = contents(&folder.path().join("o"));
        for name in ["bass.json", "bass.csv", "bass.svg", "bass.png"] {
            assert!(files.contains_key(name), "{name}");
        }
    }
}

#[test]
fn wrong_wishes_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for args in [
        &["--from", "100", "--to", "60"][..],
        &["--from", "5"],
        &["--to", "2000"],
        &["--head", "3 m"],
        &["--listener", "nobody"],
    ] {
        let mut command = earline(folder.path());
        let output = command.arg("bass").arg(scene("attic")).args(args).assert().code(2);
        assert!(output.get_output().stdout.is_empty());
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
