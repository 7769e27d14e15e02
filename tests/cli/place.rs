//! `earline place`: layouts as scenes that every other command takes, in words that fit.

use super::{contents, earline, scene, stdout};
use std::sync::LazyLock;

fn json(folder: &std::path::Path, args: &[&str]) -> serde_json::Value {
    let text = stdout(earline(folder).arg("place").arg(scene("attic")).args(args).arg("--json"));
    serde_json::from_str(&text).unwrap()
}

/// A search of the attic whose desk moves along: its folder and what it says.
static FOUND: LazyLock<(tempfile::TempDir, String)> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let args = ["--with", "desk", "--layouts", "10", "--out", "found"];
    let answer = stdout(earline(folder.path()).arg("place").arg(scene("attic")).args(args));
    (folder, answer)
});

#[test]
fn layouts_are_scenes_and_better_than_the_start() {
    let (folder, answer) = &*FOUND;
    assert!(answer.contains("starting point to experiment from"), "{answer}");
    let files = contents(&folder.path().join("found"));
    for name in ["place.json", "place-1.toml", "place-map.svg", "place-map.png"] {
        assert!(files.contains_key(name), "{name}");
    }
    let document: serde_json::Value = serde_json::from_slice(&files["place.json"]).unwrap();
    assert_eq!(document["schema"], "earline.place/1");
    let sum = |of: &serde_json::Value| of["sum_db"].as_f64().unwrap();
    let best = document["best"].as_array().unwrap();
    assert!(sum(&best[0]) <= sum(&document["start"]));
    assert!(
        best.iter().all(|one| one["slip_db"].as_f64().unwrap() >= 0.0 && one["at_ends"].is_array())
    );
    // The two heads are looked at side by side, each with its dip.
    let ears = document["start"]["listeners"].as_array().unwrap();
    let names: Vec<&str> = ears.iter().map(|one| one["listener"].as_str().unwrap()).collect();
    assert_eq!(names, ["seated", "standing"]);
    for one in ears {
        assert!((45.0..=300.0).contains(&one["dip"]["hz"].as_f64().unwrap()), "{one}");
    }
    // What a file holds is what the document says of it: its own tape sheet has the seat there.
    for one in best {
        let file = folder.path().join("found").join(one["file"].as_str().unwrap());
        earline(folder.path()).arg("check").arg(&file).assert().success();
        let tape = stdout(earline(folder.path()).args(["tape", "--json"]).arg(&file));
        let tape: serde_json::Value = serde_json::from_str(&tape).unwrap();
        let seat = &tape["marks"].as_array().unwrap()[0];
        let apart = seat["from_front_m"].as_f64().unwrap() - one["seat_m"].as_f64().unwrap();
        assert!(apart.abs() < 1e-4, "{seat} {one}");
        let base = tape["pairs"][0]["base_m"].as_f64().unwrap() - one["base_m"].as_f64().unwrap();
        assert!(base.abs() < 1e-4);
    }
}

/// One screen: layouts to try above the table, each with what it gains, and the same scores as in the document.
#[test]
fn one_screen_says_what_to_try_first() {
    let (folder, answer) = &*FOUND;
    let lines: Vec<&str> = answer.lines().collect();
    assert!(lines.len() <= 60, "{answer}");
    let first = lines.iter().position(|line| line.starts_with("  1. ")).unwrap();
    assert!(first < 15 && lines[first].contains("from front wall"), "{answer}");
    let files = contents(&folder.path().join("found"));
    let document: serde_json::Value = serde_json::from_slice(&files["place.json"]).unwrap();
    let row = lines.iter().find(|line| line.trim_start().starts_with("Score  ")).unwrap();
    let mut shown = row.split_whitespace().skip(1).map(|word| word.parse::<f64>().unwrap());
    let best = document["best"].as_array().unwrap().iter().take(3);
    for one in [&document["start"]].into_iter().chain(best) {
        let sum_db = one["sum_db"].as_f64().unwrap();
        assert!((shown.next().unwrap() - sum_db).abs() < 0.01, "{row} {sum_db}");
    }
    assert_eq!(shown.next(), None);
}

#[test]
fn held_lengths_stay_and_weights_count() {
    let folder = tempfile::tempdir().unwrap();
    let args = ["--with", "desk", "--layouts", "10", "--up", "1.3 m", "--seat", "2 m..2.4 m"];
    let document =
        json(folder.path(), &[&args[..], &["--weigh", "start=5", "--weigh", "bass=0"]].concat());
    for one in document["best"].as_array().unwrap() {
        assert!((one["up_m"].as_f64().unwrap() - 1.3).abs() < 1e-9);
        assert!((2.0..=2.4).contains(&one["seat_m"].as_f64().unwrap()));
        let of = |term: &str| one[term].as_f64().unwrap();
        let sum = of("early_db") + of("sides_db") + 5.0 * of("start_db");
        assert!((sum - of("sum_db")).abs() < 0.01, "{one}");
    }
    assert_eq!(document["weights"][2]["counts"], 0.0);
}

#[test]
fn the_same_bytes_on_any_number_of_threads() {
    let folder = tempfile::tempdir().unwrap();
    let on = |threads: &str| json(folder.path(), &["--layouts", "10", "--threads", threads]);
    let one = on("1");
    assert_eq!(one, on("3"));
}

/// The first Ctrl-C ends the search and keeps the best so far.
#[cfg(unix)]
#[test]
fn one_interrupt_keeps_the_best() {
    use std::process::{Command, Stdio};
    let folder = tempfile::tempdir().unwrap();
    let mut child = Command::new(assert_cmd::cargo::cargo_bin!("earline"))
        .current_dir(folder.path())
        .arg("place")
        .arg(scene("attic"))
        .args(["--with", "desk", "--layouts", "1000000", "--weigh", "bass=0", "--out", "found"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    // Enough to read the scene and try a first layout; a million would take hours.
    crate::interrupt_after(&mut child, 3);
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "{:?}", output.status);
    assert!(String::from_utf8(output.stdout).unwrap().contains("Stopped early"));
    let files = contents(&folder.path().join("found"));
    let document: serde_json::Value = serde_json::from_slice(&files["place.json"]).unwrap();
    assert_eq!(document["stopped_early"], true);
    assert!(files.contains_key("place-1.toml") && files.contains_key("place-map.png"));
}

/// A room with nowhere to sit: told in one message, and nothing is written.
#[test]
fn a_room_kept_out_of_altogether_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(scene("attic")).unwrap()
        + "\n[[keep_out]]\nname = \"flood\"\ncorner = [0, 0]\nsize = [5.8, 4.1]\n";
    std::fs::write(folder.path().join("wet.toml"), text).unwrap();
    let output = earline(folder.path())
        .args(["place", "wet.toml", "--layouts", "20"])
        .assert()
        .code(2)
        .get_output()
        .clone();
    let message = String::from_utf8(output.stderr).unwrap();
    assert!(message.contains("would sit in `flood`"), "{message}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

/// Files hold what a tape has: no length has more than four decimals of a metre.
#[test]
fn lengths_in_files_are_short() {
    let files = contents(&FOUND.0.path().join("found"));
    let text = String::from_utf8(files["place-1.toml"].clone()).unwrap();
    for line in text.lines().filter(|line| line.starts_with("at = ") || line.starts_with("aim = "))
    {
        for length in line.split('"').filter(|part| part.ends_with(" m")) {
            let decimals = length.trim_end_matches(" m").split('.').nth(1).unwrap_or_default();
            assert!(decimals.len() <= 4, "{line}");
        }
    }
    // The map is a drawing with the line of 38 % on it.
    let map = String::from_utf8(files["place-map.svg"].clone()).unwrap();
    assert!(map.contains("38 % of the length") && map.contains("it does not fit"));
}

#[test]
fn lines_keep_to_their_width() {
    // 80 columns are held with the snapshots, in every room.
    for (name, width) in [("garage", 64), ("garage", 100)] {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        let args = ["--layouts", "10", "--seat", "2 m..2.4 m", "--no-png"];
        command.env("COLUMNS", width.to_string()).arg("place").arg(scene(name)).args(args);
        for line in stdout(&mut command).lines() {
            assert!(line.chars().count() <= width, "{width}: {line}");
        }
    }
}

#[test]
fn impossible_wishes_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for (args, says) in [
        (&["--base", "5 m..6 m"][..], "wider than the room"),
        (&["--seat", "9 m"], "behind the back wall"),
        (&["--with", "dask"], "did you mean `desk`"),
        (&["--pair", "bigs"], "no pair named"),
        (&["--weigh", "treble=1"], "early, sides, bass and start"),
        (&["--seat", "3 m..2 m"], "smaller one first"),
        (&["--front", "1 m..2 m"], "--any-triangle"),
        (&["--layouts", "3"], "10"),
        (
            &["--seat", "2.2 m", "--base", "1.6 m", "--up", "1.2 m", "--converge", "0"],
            "every length is held",
        ),
    ] {
        let mut command = earline(folder.path());
        command.arg("place").arg(scene("attic")).args(["--layouts", "20"]).args(args);
        if args.contains(&"--layouts") {
            command = earline(folder.path());
            command.arg("place").arg(scene("attic")).args(args);
        }
        let output = command.assert().code(2).get_output().clone();
        let message = String::from_utf8(output.stderr).unwrap();
        assert!(message.contains(says), "{args:?}: {message}");
        assert!(output.stdout.is_empty());
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
