//! Someone who has never used the program, at a terminal: answers in, a room out, and every first command
//! on it without a line written by hand.

use crate::pseudo_terminal::{pseudo_terminal, read_to_end};
use crate::{earline, stdout};
use rustix::termios::LocalModes;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

/// What `earline start` says at a terminal where these lines are typed, and its exit code.
fn started(folder: &Path, answers: &str) -> (String, Option<i32>) {
    // What is typed is not shown, so that only the program's own words are.
    let (mut ours, its) = pseudo_terminal(|modes| modes.local_modes.remove(LocalModes::ECHO));
    let mut run = Command::new(assert_cmd::cargo::cargo_bin!("earline"))
        .arg("start")
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .stdin(Stdio::from(its.try_clone().unwrap()))
        .stdout(Stdio::from(its.try_clone().unwrap()))
        .stderr(Stdio::from(its))
        .spawn()
        .unwrap();
    ours.write_all(answers.as_bytes()).unwrap();
    let said = read_to_end(&mut ours);
    (String::from_utf8(said).unwrap(), run.wait().unwrap().code())
}

/// A room of 5.1 by 3.6 by 2.5 m with a desk, a sofa, a rack, a window where the left wall answers, a
/// door, two pairs, seated and standing; two slips on the way.
const ANSWERS: &[&[&str]] = &[
    // The height first without a unit, so that another could be meant.
    &["5.1 m", "3.6 m", "8.5", "2.5 m"],
    // Walls; a floor of cheese, then of carpet; the ceiling.
    &["drywall", "cheese", "carpet", ""],
    // Ears, seated and standing; the speakers as they fit; a desk; a second pair.
    &["1.2 m", "1.6 m", "", "1.6 m", "1 m"],
    // A window of the usual size, at the reflection point; no other.
    &["left", "", "", "", "1.3 m", "none"],
    // A door as usual, no other; a sofa; no bookshelf; a rack of a height of its own.
    &["back", "", "", "", ""],
    &["back", "", ""],
    &[""],
    &["right", "", "1 m", ""],
    // A subwoofer in the corner.
    &["front", "", "", ""],
];

#[test]
fn a_newcomer_gets_from_questions_to_a_report() {
    let folder = tempfile::tempdir().unwrap();
    let (said, code) = started(folder.path(), &(ANSWERS.concat().join("\n") + "\n"));
    assert_eq!(code, Some(0), "{said}");
    assert!(
        said.contains("Was another unit meant?") && said.contains("no such material"),
        "{said}"
    );
    let text = std::fs::read_to_string(folder.path().join("room.toml")).unwrap();
    for part in
        ["desk", "sofa", "rack", "subwoofer", "window", "door", "second left", "second right"]
    {
        assert!(text.contains(&format!("name = \"{part}\"")), "{part}: {text}");
    }

    let of = |args: &str| stdout(earline(folder.path()).args(args.split(' ')));
    let check: serde_json::Value =
        serde_json::from_str(&of("check --strict --json room.toml")).unwrap();
    assert_eq!(check["warnings"], serde_json::json!([]), "{check}");
    of("tape --json room.toml");
    let trace: serde_json::Value =
        serde_json::from_str(&of("trace --rays 0 --order 1 --json room.toml")).unwrap();
    let pairs = trace["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 8, "four speakers, two listeners");
    assert!(
        text.contains("name = \"standing\"") && text.contains("kind = \"subwoofer\""),
        "{text}"
    );
    of("bass --to 120 --json room.toml");
    // The window is where the left wall answers: its reflection is of the glass.
    let reflections = pairs[0]["reflections"].as_array().unwrap();
    let off_glass = serde_json::json!(["left:window"]);
    assert!(reflections.iter().any(|reflection| reflection["surfaces"] == off_glass));
    of("trace --rays 64 --speaker left --listener standing --no-png room.toml");
    of("report --rays 0 --listener seated --speaker left --out page room.toml");
    assert!(folder.path().join("page/report.html").exists());
}

/// Nobody answers any more: nothing is written.
#[test]
fn answers_that_end_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    // The end of what is typed, at the beginning of a line.
    let (said, code) = started(folder.path(), "5.1 m\n\u{4}");
    assert_eq!(code, Some(1), "{said}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
