//! A first scene from room dimensions: written once, running with every command, or refused.

use crate::{earline, stdout};
use std::path::Path;

const ROOM: [&str; 7] = ["start", "--length", "5.8 m", "--width", "4.1 m", "--height", "2.45 m"];

fn refused(folder: &Path, args: &[&str]) -> String {
    let before = std::fs::read_dir(folder).unwrap().count();
    let output = earline(folder).args(args).assert().code(2);
    assert!(output.get_output().stdout.is_empty());
    assert_eq!(std::fs::read_dir(folder).unwrap().count(), before, "nothing written");
    String::from_utf8(output.get_output().stderr.clone()).unwrap()
}

/// An answer on one line.
fn plain(answer: &str) -> String {
    answer.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is written is a scene without a warning, and a trace of it gives both seats.
#[test]
fn the_first_scene_runs() {
    for (name, extra) in [
        ("plain", [].as_slice()),
        ("back", &["--converge", "10 cm", "--reference", "tweeter"]),
        ("half", &["--level", "half-way", "--ear", "1.2 m", "--standing-ear", "1.62 m"]),
        ("feet", &["--units", "imperial", "--base", "5 ft"]),
        ("across", &["--across"]),
        (
            "made",
            &["--walls", "Brick", "--floor", "carpet", "--ceiling", "plaster", "--desk", "1.6 m"],
        ),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let file = format!("{name}.toml");
        stdout(earline(folder.path()).args(ROOM).args(extra).arg(&file));
        stdout(earline(folder.path()).args(["check", "--strict", &file]));
        let trace = ["trace", "--rays", "0", "--order", "1", "--json", &file];
        let trace = stdout(earline(folder.path()).args(trace));
        let trace: serde_json::Value = serde_json::from_str(&trace).unwrap();
        assert_eq!(trace["pairs"].as_array().unwrap().len(), 4, "two speakers, two listeners");
        let tape = stdout(earline(folder.path()).args(["tape", "--json", &file]));
        let tape: serde_json::Value = serde_json::from_str(&tape).unwrap();
        for speaker in tape["speakers"].as_array().unwrap() {
            assert_eq!(speaker["toe_in_deg"], 30.0, "{name}");
        }
    }
}

/// Common practice, no source: 38 % of 26 ft are 9.88 ft; sides of 8 ft are 8 ft everywhere.
#[test]
fn feet_stay_feet() {
    let folder = tempfile::tempdir().unwrap();
    let args = "start shed.toml --length 26ft --width 14ft --height 9ft --base 8ft";
    stdout(earline(folder.path()).args(args.split(' ')));
    let tape = stdout(earline(folder.path()).args(["tape", "--json", "shed.toml"]));
    let tape: serde_json::Value = serde_json::from_str(&tape).unwrap();
    let feet = |value: &serde_json::Value| value.as_f64().unwrap() / 0.3048;
    assert!((feet(&tape["marks"][0]["from_front_m"]) - 9.88).abs() < 1e-4);
    let pair = &tape["pairs"][0];
    let seated = &pair["listeners"][0];
    // Written to four decimals of a foot: 0.015 mm.
    for side in [&pair["base_m"], &seated["left_m"], &seated["right_m"]] {
        assert!((feet(side) - 8.0).abs() < 2e-4, "{side}");
    }
    let answer = stdout(earline(folder.path()).args(["tape", "--full", "shed.toml"]));
    assert!(plain(&answer).contains("8 ft 0 in 8 ft 0 in 60.0° seated"), "{answer}");
}

#[test]
fn a_file_that_is_there_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("room.toml"), "mine").unwrap();
    let message = refused(folder.path(), &ROOM);
    assert!(message.contains("is there already") && message.contains("--replace"), "{message}");
    let kept = || std::fs::read_to_string(folder.path().join("room.toml")).unwrap();
    assert_eq!(kept(), "mine");
    stdout(earline(folder.path()).args(ROOM).arg("--replace"));
    assert!(kept().contains("[[speaker]]"));
    assert!(
        refused(folder.path(), &[ROOM.as_slice(), &["."]].concat()).contains("no name for a file")
    );
}

#[test]
fn json_holds_the_scene_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let text = stdout(earline(folder.path()).args(ROOM).arg("--json"));
    let document: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(document["schema"], "earline.start/1");
    assert_eq!(document["base_angle_deg"], 60.0);
    assert!(document["scene"].as_str().unwrap().contains("[[listener]]"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn what_gives_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let wide = "start wide.toml --length 4.1 --width 5.8 --height 2.45";
    assert!(stdout(earline(folder.path()).args(wide.split(' '))).contains("wider than long"));
    let low = "start low.toml --length 5.8 --width 4.1 --height 1.7";
    let answer = plain(&stdout(earline(folder.path()).args(low.split(' '))));
    assert!(answer.contains("there is no standing listener"), "{answer}");
    let short = "start short.toml --length 4.5 --width 3.6 --height 2.4 --base 2";
    let answer = plain(&stdout(earline(folder.path()).args(short.split(' '))));
    assert!(answer.contains("the seat went back to 2080 mm"), "{answer}");
}

/// One clear message with what would be right; nothing is written.
#[test]
fn what_cannot_be_is_refused_with_the_nearest_that_can() {
    let folder = tempfile::tempdir().unwrap();
    for (args, says) in [
        ("--base 3.9", "--base '2950 mm'"),
        ("--base 3", "--seat '2939 mm'"),
        ("--base 2 --seat 1.5", "--base '1300 mm'"),
        ("--seat 0.5", "--seat '860 mm'"),
        ("--standing-ear 2.4", "2317 mm up at most"),
        ("--converge 1.9 --base 1.5", "would stand beside them"),
        ("--ear 0", "cannot be 0 mm"),
        ("--base -1", "the base cannot be −1000 mm"),
        ("--base 2yd", "`yd` is not a unit"),
        ("--units cubits", "metric, imperial"),
    ] {
        let all: Vec<&str> = ROOM.into_iter().chain(args.split(' ')).collect();
        let message = refused(folder.path(), &all);
        assert!(message.contains(says), "{args}: {message}");
        assert_eq!(message.matches("error:").count(), 1, "{message}");
    }
    let tiny = "start --length 1.2 --width 1 --height 2";
    let message = refused(folder.path(), &tiny.split(' ').collect::<Vec<_>>());
    assert!(message.contains("not even a small triangle"), "{message}");
}

/// The largest room that is taken makes a scene that holds, in either system; what is a hair too large
/// or too small looks it, and is the user's to change.
#[test]
fn rooms_at_the_limits() {
    let folder = tempfile::tempdir().unwrap();
    for (side, units) in [("100 m", "metric"), ("100 m", "imperial"), ("328 ft 1 in", "imperial")] {
        let size = ["--length", side, "--width", side, "--height", side];
        let mut start = earline(folder.path());
        start.arg("start").args(size).args(["--units", units, "--replace"]);
        stdout(&mut start);
        stdout(earline(folder.path()).args(["check", "room.toml"]));
    }
    for (side, units, says) in [
        ("100.0001 m", "metric", "cannot be 100.0001 m"),
        ("328.084 ft", "imperial", "cannot be 328.0840 ft"),
        ("0.4999 m", "metric", "cannot be 0.4999 m"),
        ("1 ft 7 5/8 in", "imperial", "from 1 ft 7 3/4 in to 328 ft 1 in"),
        ("0.000000001 m", "metric", "cannot be 0.000000001 m"),
        ("1e-300", "metric", "cannot be 1e−300 m"),
        ("0.5 m", "metric", "not even a small triangle"),
        ("1 ft 7 3/4 in", "imperial", "not even a small triangle"),
    ] {
        let size = ["start", "--length", side, "--width", side, "--height", "2.4 m"];
        let message = refused(folder.path(), &[&size[..], &["--units", units, "x.toml"]].concat());
        assert!(message.contains(says), "{side}: {message}");
    }
    let low = ["start", "--length", "5 m", "--width", "4 m", "--height", "0.5 m", "x.toml"];
    assert!(refused(folder.path(), &low).contains("nobody can sit under a ceiling 500 mm high"));
}

/// Without a terminal nobody is asked.
#[test]
fn without_a_terminal_the_size_has_to_be_there() {
    let folder = tempfile::tempdir().unwrap();
    let message = refused(folder.path(), &["start", "--length", "5.8"]);
    assert!(message.contains("missing: --width, --height"), "{message}");
}

/// What is not known, does not fit, or would count for nothing is refused before anything is written.
#[test]
fn wishes_that_mean_nothing_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    for (wish, said) in [
        (["--walls", "cheese"].as_slice(), "earline materials"),
        (&["--floor", "parqet on concrete"], "did you mean \"parquet on concrete\"?"),
        (&["--desk", "9 m"], "give --desk from 0.30 m to 4.00 m"),
        (&["--desk", "-1 m"], "give --desk from 0.30 m to 4.00 m"),
        (&["--seated", "80"], "give --level half-way"),
        (&["--second-base", "1.7 m"], "give --second-base from 0.60 m to 1.53 m"),
        (&["--window", "floor"], "the walls are front, back, left and right"),
        (&["--window", "left,depth=1 m"], "after the wall come at, width, height, sill"),
        (&["--window", "left,at=1 m,at=2 m"], "`at` is given twice"),
        (&["--window", "left,width=6 m"], "it can be 0.10 m to 5.80 m"),
        (&["--window", "left,at=0.2 m"], "it can be 0.60 m to 5.20 m"),
        (&["--window", "left,sill=2 m,height=1 m"], "it can be 0.10 m to 0.45 m"),
        (&["--door", "back,at=2 m", "--window", "back,at=2.4 m"], "overlap on the back wall"),
        (&["--door", "back,at=2 m", "--sofa", "back,at=2.4 m"], "`sofa` would stand before `door`"),
        (&["--bookshelf", "front,at=1.1 m,depth=50 cm"], "would cut"),
        (&["--rack", "left,width=5.8 m", "--sofa", "back,width=4.1 m"], "would stand in"),
        (&["--rack", "left,width=5.8 m,depth=4 m"], "the speaker `left` is inside `rack`"),
    ] {
        let message = refused(folder.path(), &[ROOM.as_slice(), wish].concat());
        assert!(plain(&message).contains(said), "{wish:?}: {message}");
    }
}

/// Of a room that would be turned, nobody knows which wall is meant; turned or kept on purpose, it is clear.
#[test]
fn walls_have_to_be_named_of_the_room_as_it_stands() {
    let folder = tempfile::tempdir().unwrap();
    let wide = "start --length 4.1 --width 5.8 --height 2.45 --window front";
    let message = refused(folder.path(), &wide.split(' ').collect::<Vec<_>>());
    assert!(plain(&message).contains("give --across to keep it as measured"), "{message}");
    stdout(earline(folder.path()).args(wide.split(' ')).arg("--across"));
}

/// Things at the walls where nobody said where: each has a place of its own, in either system, and the
/// scene needs no hand.
#[test]
fn a_furnished_room_of_everyday_sizes() {
    let folder = tempfile::tempdir().unwrap();
    for (units, window, door) in [
        ("metric", [1.2, 1.2], [0.8, 2.0]),
        ("imperial", [4.0 * 0.3048, 4.0 * 0.3048], [32.0 * 0.0254, 80.0 * 0.0254]),
    ] {
        let room = "start --length 5.1m --width 3.6m --height 2.5m --desk 1.6m --second-base 1m --window left \
                    --window left --door left --sofa back --bookshelf back --bookshelf right --rack right --subwoofer front --units";
        let args = || room.split_whitespace().chain([units]);
        let answer = plain(&stdout(earline(folder.path()).args(args()).arg("--replace")));
        assert!(answer.contains("Window 2: in the left wall, its middle"), "{answer}");
        assert!(answer.contains("Second pair: "), "{answer}");
        stdout(earline(folder.path()).args(["check", "--strict", "room.toml"]));
        let json = stdout(earline(folder.path()).args(args()).arg("--json"));
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        assert!((json["second_pair"]["base_m"].as_f64().unwrap() - 1.0).abs() < 1e-9);
        let pieces = json["pieces"].as_array().unwrap();
        let of = |name: &str| pieces.iter().find(|piece| piece["name"] == name).unwrap();
        assert_eq!(pieces.len(), 8);
        for (name, size) in [("window", window), ("door", door)] {
            for (side, expected) in of(name)["size_m"].as_array().unwrap().iter().zip(size) {
                assert!((side.as_f64().unwrap() - expected).abs() < 1e-6, "{name}: {side}");
            }
        }
    }
}

/// A room as someone might describe it, and not a line of it written by hand.
#[test]
fn a_first_room_in_everyday_words() {
    let folder = tempfile::tempdir().unwrap();
    let room = "start --length 5.1m --width 3.6m --height 2.5m --walls drywall --floor carpet --ceiling \
                plaster --desk 1.6m";
    let made = stdout(earline(folder.path()).args(room.split_whitespace()));
    assert!(!made.contains("guesses"), "{made}");
    let text = std::fs::read_to_string(folder.path().join("room.toml")).unwrap();
    for part in ["left = \"gypsum board on studs\"", "floor = \"carpet, heavy", "name = \"desk\""] {
        assert!(text.contains(part), "{part}: {text}");
    }
    stdout(earline(folder.path()).args(["check", "--strict", "room.toml"]));
    let answer = stdout(earline(folder.path()).args(["tape", "--no-png", "room.toml"]));
    assert!(!answer.is_empty());
    let args = ["trace", "--rays", "256", "--no-png", "room.toml"];
    let answer = stdout(earline(folder.path()).args(args));
    assert!(plain(&answer).contains("Top of desk ("), "{answer}");
    assert!(answer.lines().count() <= 60, "{answer}");
}
