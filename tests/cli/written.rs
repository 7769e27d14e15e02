//! Scenes that commands write: each is a scene for every other command, wherever it is taken.

use crate::{contents, earline};
use assert_cmd::assert::Assert;
use std::path::{Path, PathBuf};

/// A directivity table that falls to a level behind the speaker, decibels.
fn table(behind_db: i32) -> String {
    let row = |angle: u32, db: i32| format!("{angle}{}\n", format!(",{db}").repeat(8));
    let head = "angle_deg,63,125,250,500,1000,2000,4000,8000\n";
    format!("{head}{}{}", row(0, 0), row(180, behind_db))
}

/// A small room whose two speakers have tables of these names.
fn room(left: &str, right: &str) -> String {
    let walls: String = ["front", "back", "left", "right", "floor", "ceiling"]
        .map(|wall| format!("{wall} = \"painted brick\"\n"))
        .concat();
    let speaker = |side: &str, y: f64, file: &str| {
        format!(
            "[[speaker]]\nname = \"{side}\"\npair = \"p\"\nside = \"{side}\"\nat = [1, {y}, 1.2]\n\
             aim = \"l\" # a comment\ndirectivity = {{ kind = \"table\", file = '{file}' }}\n"
        )
    };
    format!(
        "title = \"{}\"\n[room]\nlength = 3.6\nwidth = 3\nheight = 2.4\n[surfaces]\n{walls}{}{}\
         [[listener]]\nname = \"l\"\nat = [2.2, 1.5, 1.2]\n\
         [[absorber]]\nname = \"board\"\nsize = [1, 1]\nmaterial = \"mineral wool 50 mm\"\n\
         count = 1\non = [\"back\"]\n",
        "t".repeat(200),
        speaker("left", 0.9, left),
        speaker("right", 2.1, right),
    )
}

/// A project of a scene in a folder of its own, with files about it.
fn project(left: &str, right: &str, files: &[(&str, &str)]) -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    let scene = home.path().join("project/scenes/room.toml");
    let text = room(left, right);
    for (path, text) in files.iter().copied().chain([("room.toml", text.as_str())]) {
        let path = scene.with_file_name(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    home
}

/// Every command that writes scenes of another, quick, and the first of its scenes.
const WRITERS: [(&str, &[&str], &str); 3] = [
    ("treat", &["--pieces", "1", "--singly"], "treated.toml"),
    ("place", &["--layouts", "10"], "place-1.toml"),
    ("sweep", &["--vary", "room.length=3.6..3.8:0.1", "--take", "1"], "run-1.toml"),
];

fn write(home: &Path, (command, args, _): (&str, &[&str], &str)) -> Assert {
    let scene = "project/scenes/room.toml";
    earline(home).args([command, scene, "--out", "out"]).args(args).assert()
}

/// All scenes of a folder.
fn scenes(folder: &Path) -> Vec<PathBuf> {
    let files = contents(folder).into_keys().map(|name| folder.join(name));
    files.filter(|path| path.extension().is_some_and(|ending| ending == "toml")).collect()
}

/// The tables lie in other folders, two of them with one name. What is written is read where nothing
/// else of the project is, and names the same tables.
#[test]
fn written_scenes_take_their_tables_along() {
    let (six, nine) = (table(-6), table(-9));
    let files = [("../tables/x.csv", six.as_str()), ("x.csv", nine.as_str())];
    for writer in WRITERS {
        let home = project("../tables/x.csv", "x.csv", &files);
        write(home.path(), writer).success();
        std::fs::rename(home.path().join("out"), home.path().join("alone")).unwrap();
        std::fs::remove_dir_all(home.path().join("project")).unwrap();
        let alone = home.path().join("alone");
        let written = contents(&alone);
        assert!(written.contains_key(writer.2), "{writer:?}: {:?}", written.keys());
        assert_eq!(written["x.csv"], six.as_bytes(), "{writer:?}");
        assert_eq!(written["x-2.csv"], nine.as_bytes(), "{writer:?}");
        for scene in scenes(&alone) {
            earline(home.path()).arg("check").arg(&scene).assert().success();
            let text = std::fs::read_to_string(&scene).unwrap();
            let [left, right] = ["x.csv", "x-2.csv"].map(|name| text.find(&format!("\"{name}\"")));
            assert!(left.is_some() && left < right, "{text}");
        }
    }
}

/// A table called like a file of the command, or like one that another command would put there.
#[test]
fn tables_take_no_name_of_ours() {
    let table = table(-6);
    for (name, kept) in [("treated.toml", "treated.csv"), ("bass.csv", "bass-2.csv")] {
        let home = project(name, name, &[(name, &table)]);
        write(home.path(), WRITERS[0]).success();
        let out = home.path().join("out");
        assert_eq!(contents(&out)[kept], table.as_bytes(), "{name}");
        assert_eq!(scenes(&out).len(), 1, "{name}");
        earline(&out).args(["check", "treated.toml"]).assert().success();
    }
}

/// Whatever else is in the output folder is somebody's: a table never takes its place, and one that is
/// there already is used.
#[test]
fn tables_replace_no_other_file() {
    let (six, nine) = (table(-6), table(-9));
    let home = project("../tables/x.csv", "../tables/x.csv", &[("../tables/x.csv", &six)]);
    let out = home.path().join("out");
    std::fs::create_dir(&out).unwrap();
    std::fs::write(out.join("x.csv"), &nine).unwrap();
    for _ in 0..2 {
        write(home.path(), WRITERS[2]).success();
        let written = contents(&out);
        assert_eq!(written["x.csv"], nine.as_bytes());
        assert_eq!(written["x-2.csv"], six.as_bytes());
        assert_eq!(written.len(), 3, "{:?}", written.keys());
        earline(&out).args(["check", "run-1.toml"]).assert().success();
    }
}

/// A run that breaks a rule is told as `check` would tell it, and leaves no scene that none is.
#[test]
fn a_refused_run_is_not_written() {
    let home = project("x.csv", "x.csv", &[("x.csv", &table(-6))]);
    let vary = ["--vary", "listener.l.at.x=2.2..5.2:1", "--take", "3"];
    let run = write(home.path(), ("sweep", &vary, "")).code(2);
    let message = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    assert!(message.contains("run-3.toml:") && message.contains("at = [5.2"), "{message}");
    assert!(!home.path().join("out").exists());
}

/// What is said before a scene stays a comment whatever the command line holds.
#[test]
fn comments_of_a_run_stay_comments() {
    let home = project("x.csv", "x.csv", &[("x.csv", &table(-6))]);
    let vary = ["--vary", "speaker.left.at.x &\nspeaker.right.at.x=1,1.1", "--take", "1"];
    write(home.path(), ("sweep", &vary, "")).success();
    earline(home.path()).args(["check", "out/run-1.toml"]).assert().success();
}

/// A first scene is one, metric and imperial.
#[test]
fn first_scenes_are_read() {
    let home = tempfile::tempdir().unwrap();
    for (name, sides) in
        [("m.toml", ["4.5 m", "3.6 m", "2.4 m"]), ("i.toml", ["19 ft", "14 ft", "8 ft"])]
    {
        let [length, width, height] = sides;
        let sides = ["--length", length, "--width", width, "--height", height];
        earline(home.path()).args(["start", name]).args(sides).assert().success();
        earline(home.path()).args(["check", name]).assert().success();
    }
}
