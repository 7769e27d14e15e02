//! The program on a pseudo-terminal: of what it is given, nothing that steers a terminal gets there.

use crate::hostile::{is_harmless, room};
use crate::pseudo_terminal::{pseudo_terminal, read_to_end};
use rustix::termios::{OutputModes, Winsize, tcsetwinsize};
use std::path::Path;
use std::process::{Command, Stdio};

/// What steers, by kind; none has a slash, which would be another folder in a file name.
const STEERING: [(&str, &str); 3] = [
    // Screen, concealed, title, link, clipboard; tab, back, return, bell, delete.
    (
        "first set of controls",
        "\u{1b}[2J\u{1b}[8m\u{1b}]0;t\u{7}\u{1b}]8;;a:b\u{1b}\\\u{1b}]52;c;YQ==\u{7}\u{1b}c\t\u{8}\r\u{7f}a",
    ),
    // Next line, device control, screen, title, privacy.
    ("second set of controls", "\u{85}\u{90}q\u{9c}\u{9b}2J\u{9b}8m\u{9d}0;t\u{9c}\u{9e}a"),
    (
        "direction of writing",
        "\u{202a}\u{202b}\u{202c}\u{202d}\u{202e}\u{2066}\u{2067}\u{2068}\u{2069}\u{200e}\u{200f}\u{61c}\u{2028}a",
    ),
];

/// What the program writes to a terminal of 100 columns, byte by byte, and its exit code.
fn on_a_terminal(folder: &Path, args: &[&str]) -> (Vec<u8>, Option<i32>) {
    // As the program writes it: a line break stays one character.
    let (mut ours, its) = pseudo_terminal(|modes| modes.output_modes.remove(OutputModes::OPOST));
    tcsetwinsize(&its, Winsize { ws_row: 40, ws_col: 100, ws_xpixel: 0, ws_ypixel: 0 }).unwrap();
    let mut run = Command::new(assert_cmd::cargo::cargo_bin!("earline"))
        .args(args)
        .current_dir(folder)
        .env("TERM", "xterm-256color")
        .env_remove("NO_COLOR")
        .env_remove("CLICOLOR")
        .stdin(Stdio::null())
        .stdout(its.try_clone().unwrap())
        .stderr(its)
        .spawn()
        .unwrap();
    let shown = read_to_end(&mut ours);
    (shown, run.wait().unwrap().code())
}

/// Runs the program and holds what reaches the terminal to be harmless and to end with this code.
fn is_shown_safely(folder: &Path, args: &[&str], code: i32) -> String {
    let (shown, ended) = on_a_terminal(folder, args);
    is_harmless(&shown, &format!("{args:?}"));
    let shown = String::from_utf8(shown).unwrap();
    assert_eq!(ended, Some(code), "{args:?}: {shown}");
    assert!(!shown.is_empty(), "{args:?}");
    shown
}

/// A text in double quotes with every character escaped.
fn escaped(text: &str) -> String {
    let letters: Vec<String> = text.chars().map(|c| format!("\\U{:08x}", u32::from(c))).collect();
    format!("\"{}\"", letters.concat())
}

#[test]
fn the_terminal_is_one() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("room.toml"), "[room\n").unwrap();
    let shown = is_shown_safely(folder.path(), &["check", "room.toml"], 2);
    assert!(shown.contains("\u{1b}[1m") && shown.contains("\u{1b}[0m"), "no colours: {shown:?}");
}

/// In a scene: names, titles, keys, lines that are repeated, names of files.
#[test]
fn scenes_do_not_steer_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    for (kind, steering) in STEERING {
        let in_quotes = escaped(steering);
        for (place, text) in [
            ("title", format!("title = {in_quotes}\n{}", room(""))),
            ("name", room("").replace("\"s\"", &in_quotes)),
            ("material", room("").replace("\"painted brick\"", &in_quotes)),
            ("key", format!("{in_quotes} = 1\n{}", room(""))),
            ("length", room("").replace("length = 6", &format!("length = {in_quotes}"))),
            ("table", room("").replace("\"omni\"", &format!("\"table\", file = {in_quotes}"))),
            ("line", format!("[room] # {steering}\nlenght = 1 # {steering}\n")),
            ("broken line", format!("[room # {steering}\n")),
        ] {
            std::fs::write(folder.path().join("room.toml"), text).unwrap();
            let shown = is_shown_safely(folder.path(), &["check", "room.toml"], 2);
            assert!(shown.contains("room.toml"), "{kind} in {place}: {shown}");
        }
    }
}

/// On the command line: names of files that are there, and of things that are not.
#[test]
fn arguments_do_not_steer_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    for (_, steering) in STEERING {
        let file = format!("{steering}.toml");
        std::fs::write(folder.path().join(&file), room("")).unwrap();
        let safely = |args: &[&str], code| is_shown_safely(folder.path(), args, code);
        safely(&["check", &file], 0);
        safely(&["check", &file, "--json"], 0);
        safely(&["tape", &file, "--json"], 0);
        safely(&["tape", "--out", steering, &file], 0);
        safely(&["check", &format!("no {file}")], 2);
        safely(&["listen", &file, "--rays", "0", "--dry", steering], 2);
        safely(&["check", &file, "--listener", steering], 2);
        safely(&["check", &file, "--variant", steering], 2);
        safely(&["sweep", &file, "--vary", "room.length=6,7", "--figure", steering], 2);
        safely(&["manual", steering], 2);
        safely(&[&format!("--{steering}")], 2);
    }
}
