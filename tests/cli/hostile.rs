//! Input made to do harm: without end, steering the terminal, or no file at all.

use crate::{earline, scene};
use std::fmt::Write as _;
use std::path::Path;

/// A rigid room with what is added to it.
pub(crate) fn room(added: &str) -> String {
    let walls: String = ["front", "back", "left", "right", "floor", "ceiling"]
        .map(|wall| format!("{wall} = \"painted brick\"\n"))
        .concat();
    format!(
        "[room]\nlength = 6\nwidth = 4\nheight = 2.5\n[surfaces]\n{walls}{added}\
         [[speaker]]\nname = \"s\"\nat = [1, 1, 1.2]\ndirectivity = {{ kind = \"omni\" }}\n\
         [[listener]]\nname = \"l\"\nat = [3, 2, 1.2]\n"
    )
}

/// So many panels in one place.
fn panels(count: usize) -> String {
    let panel = |i: usize| {
        format!(
            "[[panel]]\nname = \"p{i}\"\non = \"left\"\ncentre = [2, 1.2]\nsize = [0.5, 0.5]\n\
             material = \"painted brick\"\n"
        )
    };
    (0..count).map(panel).collect()
}

/// What `check` says of a scene that it refuses.
fn refused(text: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("room.toml"), text).unwrap();
    let run = earline(folder.path()).args(["check", "room.toml"]).assert().code(2);
    String::from_utf8(run.get_output().stderr.clone()).unwrap()
}

/// 4,000 panels in one place make eight million pairs that overlap, a thousand half a million.
#[test]
fn problems_without_end_are_cut_off() {
    let message = refused(&room(&panels(4000)));
    assert!(message.contains("the scene has 4000 panels; at most 2000 are taken"), "{message}");
    let message = refused(&room(&panels(1000)));
    assert!(message.contains("at least 100 errors"), "{message}");
}

#[test]
fn things_without_end_are_refused() {
    let many = |kind: &str, rest: &str, count: usize| {
        (0..count).fold(String::new(), |mut all, i| {
            writeln!(all, "[[{kind}]]\nname = \"{kind} {i}\"\n{rest}").unwrap();
            all
        })
    };
    let speakers = many("speaker", "at = [1, 1, 1]\ndirectivity = { kind = \"omni\" }", 2000);
    let listeners = many("listener", "at = [2, 2, 1]", 2000);
    let message = refused(&room(&(speakers + &listeners)));
    assert!(message.contains("2001 speakers; at most 32"), "{message}");
    assert!(message.contains("2001 listeners; at most 32"), "{message}");
    let names: Vec<String> = (0..50_000).map(|i| format!("\"set {i}\"")).collect();
    let variant = format!("[[variant]]\nname = \"v\"\nwith = [{}]\n", names.join(", "));
    let message = refused(&room(&variant));
    assert!(message.contains("50000 names in the variants; at most 1000"), "{message}");
}

/// Sequences that write where they should not, each as a name of a file and as an argument.
const STEERING: [&str; 8] = [
    "\u{1b}[2Ja",
    "\u{1b}]0;a\u{7}",
    "\u{9b}2Ja",
    "\u{9d}0;a\u{9c}",
    "\u{1b}[8ma",
    "a\rb",
    "\u{202e}a",
    "\u{2066}a\u{7f}",
];

/// Nothing in what is printed steers a terminal; the colours are ours.
pub(crate) fn is_harmless(printed: &[u8], of: &str) {
    let text = String::from_utf8(printed.to_vec()).unwrap();
    let mut plain = text.clone();
    for colour in ["0", "1", "2", "4", "31", "32", "33", "34", "91", "92", "93", "94", "96", "1;31"]
    {
        plain = plain.replace(&format!("\u{1b}[{colour}m"), "");
    }
    let steers = |c: char| {
        c != '\n' && c.is_control()
            || matches!(c, '\u{200e}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    assert!(!plain.chars().any(steers), "{of:?}: {text:?}");
}

#[test]
fn nothing_foreign_steers_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let box_room = std::fs::read_to_string(scene("teaching-box")).unwrap();
    let run = |args: &[&str]| {
        let mut command = earline(folder.path());
        let output = command.env("CLICOLOR_FORCE", "1").args(args).output().unwrap();
        is_harmless(&output.stdout, &args.join(" "));
        is_harmless(&output.stderr, &args.join(" "));
        output.status.code()
    };
    for steering in STEERING {
        // A slash would be another folder; none is in these.
        let file = format!("{steering}.toml");
        std::fs::write(folder.path().join(&file), &box_room).unwrap();
        assert_eq!(run(&["check", &file]), Some(0));
        assert_eq!(run(&["tape", &file]), Some(0), "writes to a folder of that name");
        assert_eq!(run(&["tape", &file, "--out", steering]), Some(0));
        assert_eq!(run(&["check", &format!("{steering} is not there")]), Some(2));
        for option in ["--listener", "--variant", "--limit", "--rays"] {
            assert_eq!(run(&["trace", &file, option, steering]), Some(2), "{option}");
        }
        assert_eq!(run(&["listen", &file, "--rays", "0", "--dry", steering]), Some(2));
        assert_eq!(run(&["sweep", &file, "--vary", steering]), Some(2));
        assert_eq!(run(&["manual", steering]), Some(2));
        assert_eq!(run(&[steering]), Some(2));
        std::fs::write(folder.path().join("bad.toml"), format!("a = 1 # {steering}\n[room\n"))
            .unwrap();
        assert_eq!(run(&["check", "bad.toml"]), Some(2));
    }
}

/// A name that turns the direction of writing is refused where it is read, so no page and no picture
/// has it.
#[test]
fn names_do_not_turn_the_writing() {
    let message = refused(&room("").replace("\"s\"", "\"\\u202es\""));
    assert!(message.contains("turns the direction of writing"), "{message}");
}

/// A pipe nobody writes into would be waited for without end.
#[cfg(unix)]
#[test]
fn pipes_and_devices_are_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status().unwrap();
    assert!(made.success());
    let says = |args: &[&str], path: &Path| {
        let mut command = earline(folder.path());
        let run = command.args(args).arg(path).assert().code(2);
        String::from_utf8(run.get_output().stderr.clone()).unwrap()
    };
    assert!(says(&["check"], &pipe).contains("is a pipe or a device"));
    let listen = ["listen", "--rays", "0", "--dry", "pipe"];
    assert!(says(&listen, &scene("teaching-box")).contains("is a pipe or a device"));
    let by_table = room("").replace("kind = \"omni\"", "kind = \"table\", file = \"pipe\"");
    std::fs::write(folder.path().join("room.toml"), by_table).unwrap();
    assert!(says(&["check"], Path::new("room.toml")).contains("is a pipe or a device"));
    let start = ["start", "--length", "5m", "--width", "4m", "--height", "2.5m", "--replace"];
    assert!(says(&start, &pipe).contains("is no ordinary file"));
}
