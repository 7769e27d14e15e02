//! Which commands are run in which room, and what is kept of each run.
//!
//! Every command runs once for its files. Pictures are kept for one room in metres and one in feet
//! and inches; the seats after the first are drawn alike and left out.

use super::{Answers, names_in, snapshots};
use std::collections::BTreeSet;

/// A test for each command in each room, and the list of them.
macro_rules! held {
    ($($room:ident = $stem:literal: $($command:ident)+;)+) => {
        $(mod $room {
            $(#[test]
            fn $command() {
                let mut answers = super::Answers::new($stem);
                super::$command($stem, &mut answers);
                answers.hold($stem, stringify!($command));
            })+
        })+
        const HELD: &[(&str, &[&str])] = &[$(($stem, &[$(stringify!($command)),+])),+];
    };
}

held! {
    attic = "attic": check tape compare trace bass place report wave listen treat sweep;
    bedroom = "bedroom": check tape compare trace bass place wave;
    garage = "garage": check tape compare trace bass place wave;
    study = "study": check tape compare trace bass place wave;
    cellar = "cellar": check tape trace bass;
    teaching_box = "teaching-box": check tape compare trace bass place wave;
    no_scene = "no-scene": help start materials;
}

/// No room and no command is left behind in the folder of the snapshots.
#[test]
fn every_snapshot_is_of_a_run() {
    let rooms: BTreeSet<String> = HELD.iter().map(|(stem, _)| (*stem).to_owned()).collect();
    assert_eq!(names_in(&snapshots(), ""), rooms);
    for (stem, commands) in HELD {
        let commands: BTreeSet<String> = commands.iter().map(|name| (*name).to_owned()).collect();
        assert_eq!(names_in(&snapshots().join(stem), ""), commands, "{stem}");
    }
}

/// Every demo room is held.
#[test]
fn every_room_is_held() {
    for path in crate::scenes_of("scenes") {
        let stem = path.file_stem().unwrap().to_str().unwrap();
        assert!(HELD.iter().any(|(held, _)| *held == stem), "{stem}");
    }
}

/// The pictures that are kept of a room.
fn pictures(stem: &str) -> fn(&str) -> bool {
    match stem {
        "attic" => |picture| !picture.ends_with("-standing"),
        "garage" => |picture| !picture.ends_with("-stool"),
        _ => |_| false,
    }
}

/// Pixels are written in one room: they are made of the same lines.
fn pixels(stem: &str) -> &'static str {
    if stem == "attic" { "" } else { " --no-png" }
}

fn check(_: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", "check room.toml")
        .terminal("120", "120", "check room.toml")
        .document("check.json", "check room.toml");
}

fn tape(stem: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", &format!("tape room.toml{} --out out", pixels(stem)))
        .files(pictures(stem))
        .terminal("120", "120", "tape room.toml --full --no-png --out wide");
}

fn compare(stem: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", &format!("compare room.toml{} --out out", pixels(stem)))
        .files(pictures(stem))
        .terminal("120", "120", "compare room.toml --full --bands --no-png --out wide");
}

fn trace(stem: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", &format!("trace room.toml --rays 256{} --out out", pixels(stem)))
        .files(pictures(stem))
        .terminal(
            "120",
            "120",
            "trace room.toml --rays 256 --order 1 --bands --formulas --full --no-png --out wide",
        );
}

fn bass(stem: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", &format!("bass room.toml --to 150{} --out out", pixels(stem)))
        .files(pictures(stem))
        .terminal("120", "120", "bass room.toml --from 30 --to 60 --full --no-png --out wide");
}

fn place(stem: &str, answers: &mut Answers) {
    answers
        .terminal(
            "80",
            "80",
            &format!("place room.toml --layouts 40 --weigh bass=0{} --out out", pixels(stem)),
        )
        .files(pictures(stem));
}

fn report(stem: &str, answers: &mut Answers) {
    answers.terminal("80", "80", "report room.toml --rays 256 --out out").files(pictures(stem));
}

fn wave(stem: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", "wave room.toml --until 4 --cut plan --cut section --out out")
        .files(pictures(stem));
}

fn listen(stem: &str, answers: &mut Answers) {
    answers.terminal("80", "80", "listen room.toml --rays 256 --out out").files(pictures(stem));
}

fn treat(stem: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", &format!("treat room.toml --variant bare{} --out out", pixels(stem)))
        .files(pictures(stem));
}

fn sweep(stem: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", "sweep room.toml --vary listener.seated.at.x=1.8..2.6:0.2 --out out")
        .files(pictures(stem));
}

fn help(_: &str, answers: &mut Answers) {
    answers.terminal("earline", "80", "--help");
    for command in [
        "start",
        "tape",
        "check",
        "trace",
        "compare",
        "bass",
        "treat",
        "place",
        "report",
        "listen",
        "wave",
        "sweep",
        "materials",
        "licences",
        "completions",
        "manual",
    ] {
        answers.terminal(command, "80", &format!("{command} --help"));
    }
}

fn start(_: &str, answers: &mut Answers) {
    std::fs::create_dir(answers.folder.path().join("out")).unwrap();
    answers.terminal("80", "80", "start out/metric.toml --length 5.8m --width 4.1m --height 2.45m");
    answers.terminal("feet", "80", "start out/feet.toml --length 20ft --width 12ft --height 8ft");
    answers.files(|_| false);
}

fn materials(_: &str, answers: &mut Answers) {
    answers
        .terminal("80", "80", "materials")
        .terminal("120", "120", "materials")
        .document("materials.json", "materials");
}
