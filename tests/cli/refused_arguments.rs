//! Arguments that are not taken: every number is told its range in plain words, and nothing long is
//! repeated whole.

use crate::{earline, scene};
use std::path::Path;

/// What is said of a command line that is refused; nothing else is printed and nothing written.
fn refused(folder: &Path, args: &[&str]) -> String {
    let before = std::fs::read_dir(folder).unwrap().count();
    let run = earline(folder).args(args).assert().code(2);
    assert!(run.get_output().stdout.is_empty(), "{args:?}");
    assert_eq!(std::fs::read_dir(folder).unwrap().count(), before, "{args:?}");
    let message = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    let told = message.lines().filter(|line| line.starts_with("error")).count();
    assert_eq!(told, 1, "{args:?}: {message}");
    for inner in ["'-- -", "invalid digit", "invalid float", "mantissa", "literal", "os error"] {
        assert!(!message.contains(inner), "{args:?}: {message}");
    }
    assert!(message.len() < 2000, "{args:?}: {} bytes", message.len());
    message
}

/// Every option with a number: values before its range, in no range, and of no number, and what is
/// said of each.
#[test]
fn every_number_is_told_its_range() {
    let folder = tempfile::tempdir().unwrap();
    let attic = scene("attic");
    let attic = attic.to_str().unwrap();
    for (command, option, wrong, says) in [
        (
            "trace",
            "--seed",
            "-1 1.5 x 18446744073709551616 1e3",
            "a whole number from 0 to 18446744073709551615",
        ),
        ("trace", "--rays", "-1 100000001 many .5 --json", "a whole number from 0 to 100000000"),
        ("trace", "--until", "-1 0 .001 1.1 nan inf x -.5", "a share from 0.01 to 1"),
        ("trace", "--floor", "0 -101 -19.9 nan x -1e9", "decibels from -100 to -20"),
        ("trace", "--order", "-1 9 x 1.5 300", "a whole number from 0 to 8"),
        ("trace", "--window", "-1 0 500.1 nan inf x 1e-300", "milliseconds from 0.1 to 500"),
        ("trace", "--head", "-1 1001 nan x", "millimetres from 0 to 1000"),
        ("trace", "--zone-hz", "-1 0 49.9 16001 nan x", "hertz from 50 to 16000"),
        ("trace", "--threads", "-1 0 1025 x 99999999", "a whole number from 1 to 1024"),
        ("tape", "--seated", "-1 101 half", "a whole number from 0 to 100"),
        ("bass", "--from", "-1 9 401 x", "a whole number from 10 to 400"),
        ("bass", "--to", "-1 19 501 x", "a whole number from 20 to 500"),
        ("bass", "--at", "-1 9.9 500.1 x nan", "hertz from 10 to 500"),
        ("bass", "--head", "-1 1.001 -0.1", "from 0 to 1 m"),
        ("treat", "--pieces", "-1 25 x", "a whole number from 0 to 24"),
        ("treat", "--budget", "x nan inf 1e999 €400", "an amount above 0"),
        ("place", "--layouts", "-1 9 1000001 x", "a whole number from 10 to 1000000"),
        ("place", "--seed", "-1 4294967296 x", "a whole number from 0 to 4294967295"),
        ("place", "--seat", "-1 -1..2 1m..2000m", "from 0 to a kilometre"),
        ("place", "--weigh", "early=-1 early=1001 early=nan", "from 0 to 1000 times"),
        ("wave", "--slow", "-1 19 20001 x", "a whole number from 20 to 20000"),
        ("wave", "--until", "-1 0 0.9 1e9 x", "milliseconds from 1 to "),
        ("wave", "--hz", "-1 0 440 x", "one of 63, 125, 250, 500, 1000, 2000, 4000, 8000 hertz"),
        ("sweep", "--draws", "-1 0 65537 x", "a whole number from 1 to 65536"),
        ("sweep", "--take", "-1 1000000 x", "a whole number from 0 to 999999"),
        ("sweep", "--shard", "0/2 3/2", "counted from 1 to 2"),
        ("sweep", "--shard", "x 1 -1 1/x -1/2", "up to 10000, as in 3/8"),
    ] {
        for value in wrong.split(' ') {
            let vary = ["--vary", "room.length=4..5:1"];
            let more = if command == "sweep" { &vary[..] } else { &[] };
            let message =
                refused(folder.path(), &[&[command, attic, option, value], more].concat());
            assert!(message.contains(says), "{command} {option} {value}: {message}");
        }
    }
}

/// A range whose `-1` is not read as another option has no use for advice that fails the same.
#[test]
fn lengths_are_told_their_range() {
    let folder = tempfile::tempdir().unwrap();
    let room = ["start", "--length", "5.8 m", "--width", "4.1 m", "--height", "2.45 m"];
    for (option, value, says) in [
        ("--ear", "1e-300", "cannot be 1e\u{2212}300 m; give a length from 0.40 m to 100.00 m"),
        ("--ear", "-.5", "cannot be \u{2212}500 mm"),
        ("--ear", "-1 m", "cannot be \u{2212}1000 mm"),
        ("--base", "100.000001 m", "the base cannot be 100.000001 m"),
        ("--base", ".3.5", "stand side by side"),
        ("--base", "0,9", "comma"),
        ("--seat", "0.29999 m", "cannot be 0.29999 m; give a length from 0.30 m to 5.55 m"),
        ("--converge", "2.0001", "cannot be 2.0001 m; give a length from 0 mm to 2.00 m"),
    ] {
        let message = refused(folder.path(), &[&room[..], &[option, value]].concat());
        let plain = message.replace("\n  = help: ", "; ");
        assert!(plain.contains(says), "{option} {value}: {plain}");
    }
}

/// Numbers of a scene: what is just beyond a limit looks it, and slips of writing are named.
#[test]
fn numbers_of_a_scene_are_told_their_range() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(scene("teaching-box")).unwrap();
    let begins = text.find("\nlength = ").unwrap() + 1;
    let ends = begins + text[begins..].find('\n').unwrap();
    for (value, says) in [
        ("100.0001", "cannot be 100.0001 m"),
        ("1e-300", "cannot be 1e-300 m"),
        ("0.49999", "cannot be 0.49999 m"),
        ("\"1 ft 7 5/8 in\"", "from 0.50 m to 100.00 m"),
        (".5", "a number has no digit before its point"),
        ("-.5", "a number has no digit before its point"),
        ("5.", "a number has no digit after its point"),
        ("5.e3", "a number has no digit after its point"),
        ("5e", "a power of ten has no digits"),
        ("5.8.1", "a number has something in it that is no digit"),
        ("05.8", "a number begins with a nought"),
        ("5__8", "an underscore does not stand between two digits"),
    ] {
        let changed = format!("{}length = {value}{}", &text[..begins], &text[ends..]);
        std::fs::write(folder.path().join("room.toml"), changed).unwrap();
        let message = refused(folder.path(), &["check", "room.toml"]);
        assert!(message.contains(says), "{value}: {message}");
    }
}

/// Files saved in another encoding are told by its name.
#[test]
fn other_encodings_are_named() {
    let folder = tempfile::tempdir().unwrap();
    let text = "title = \"a\"\n";
    let wide = |bytes: fn(u32) -> [u8; 4]| -> Vec<u8> {
        "\u{feff}".chars().chain(text.chars()).flat_map(|c| bytes(u32::from(c))).collect()
    };
    let narrow = |bytes: fn(u16) -> [u8; 2]| -> Vec<u8> {
        format!("\u{feff}{text}").encode_utf16().flat_map(bytes).collect()
    };
    for (bytes, name) in [
        (wide(u32::to_le_bytes), "UTF-32"),
        (wide(u32::to_be_bytes), "UTF-32"),
        (narrow(u16::to_le_bytes), "UTF-16"),
        (narrow(u16::to_be_bytes), "UTF-16"),
    ] {
        std::fs::write(folder.path().join("room.toml"), bytes).unwrap();
        let message = refused(folder.path(), &["check", "room.toml"]);
        assert!(message.contains(&format!("is saved as {name}")), "{message}");
    }
}

/// Where advice is left out because it fails the same, no gap stays.
#[test]
fn advice_that_is_left_out_leaves_no_gap() {
    let folder = tempfile::tempdir().unwrap();
    let message = refused(folder.path(), &["start", "--bogus", "-1"]);
    assert!(message.contains("'--bogus' found\n\nUsage:"), "{message}");
    assert!(!message.contains("tip:"), "{message}");
}

/// A hundred thousand letters anywhere come back as a few and an ellipsis.
#[test]
fn nothing_long_is_repeated() {
    let folder = tempfile::tempdir().unwrap();
    let attic = scene("attic");
    let attic = attic.to_str().unwrap();
    let long = &"x".repeat(100_000);
    let after = |start: &str| format!("{start}{long}");
    for args in [
        &["trace", attic, "--variant", long][..],
        &["trace", attic, "--listener", long],
        &["trace", attic, "--speaker", long],
        &["trace", attic, "--limit", long],
        &["trace", attic, "--seed", long],
        &["trace", attic, &after("--seed=")],
        &["trace", attic, &after("--")],
        &["trace", attic, long],
        &["place", attic, "--pair", long],
        &["place", attic, "--with", long],
        &["place", attic, "--seat", long],
        &["place", attic, "--weigh", &after("early=")],
        &["sweep", attic, "--vary", long],
        &["sweep", attic, "--vary", &after("room.length=")],
        &["sweep", attic, "--vary", &format!("room.{long}=1")],
        &["sweep", attic, "--vary", &format!("{long}=1")],
        &["sweep", attic, "--vary", "room.length=5,6", "--figure", long],
        &["sweep", attic, "--vary", "room.length=5,6", "--figure", &after("t20_s@")],
        &["start", "--length", long, "--width", "4", "--height", "2"],
        &["start", long, "--length", "5", "--width", "4", "--height", "2.4"],
        &["manual", long],
        &["completions", long],
        &["check", long],
        &["listen", attic, "--dry", long],
        &[long],
    ] {
        let message = refused(folder.path(), args);
        assert!(message.contains('…'), "{}: {message}", args[0]);
    }
}
