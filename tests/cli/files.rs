//! What a trace leaves on the disk.

use crate::{contents, earline, scene, scenes_of, stdout};

#[test]
fn every_scene_traces_and_leaves_its_files() {
    for path in scenes_of("scenes") {
        let folder = tempfile::tempdir().unwrap();
        let answer = stdout(earline(folder.path()).arg("trace").arg(&path).args(["--order", "2"]));
        assert!(answer.contains("Where a panel would work"));
        assert!(answer.contains("Reflections") && !answer.contains('\u{1b}'));
        let stem = path.file_stem().unwrap();
        let files = contents(&folder.path().join("earline-out").join(stem));
        for name in [
            "trace.json",
            "reflections.csv",
            "energy-time.csv",
            "plan.svg",
            "plan.png",
            "section.svg",
            "section.png",
            "energy-time.svg",
            "energy-time.png",
            "elevation-sides.svg",
            "elevation-sides.png",
            "elevation-ends.png",
            "elevation-floor.png",
            "elevation-ceiling.png",
        ] {
            assert!(files.get(name).is_some_and(|bytes| bytes.len() > 100), "{name}");
        }
        assert!(files.keys().all(|name| !name.starts_with('.')), "something half-written is left");
        assert!(files["plan.png"].starts_with(b"\x89PNG"));
    }
}

/// Numbers, delays and levels of the list agree with the table for spreadsheets.
#[test]
fn the_list_and_the_table_agree() {
    let folder = tempfile::tempdir().unwrap();
    let args = ["--variant", "bare", "--listener", "seated", "--order", "1", "--out", "out"];
    let answer = stdout(earline(folder.path()).arg("trace").arg(scene("attic")).args(args));
    let table = std::fs::read(folder.path().join("out/reflections.csv")).unwrap();
    let mut table = csv::Reader::from_reader(table.as_slice());
    let heads = table.headers().unwrap().clone();
    let column = |name: &str| heads.iter().position(|head| head == name).unwrap();
    let mut rows = 0;
    for row in table.records() {
        let row = row.unwrap();
        let ms: f64 = row[column("after_direct_ms")].parse().unwrap();
        let db: f64 = row[column("level_db")].parse().unwrap();
        let start = format!("{:>4}  {}", &row[column("number")], &row[column("speaker")]);
        let line = answer.lines().find(|line| line.starts_with(&start)).unwrap_or_else(|| {
            panic!("`{start}` is not in the list:\n{answer}");
        });
        assert!(line.contains(&format!("{ms:.2} ms")), "{line}");
        assert!(line.contains(&format!("{db:.1} dB")), "{line}");
        assert!(line.contains(&row[column("limit")]), "{line}");
        rows += 1;
    }
    assert!(rows >= 12, "six surfaces and two speakers make twelve first bounces or more");
}

#[test]
fn json_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    stdout(earline(folder.path()).arg("trace").arg(scene("attic")).arg("--json"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// The folder's place is taken by a file: exit code 1, and nothing new beside it.
#[test]
fn a_place_that_cannot_be_written_is_a_failure_of_ours() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("taken"), "mine").unwrap();
    let output = earline(folder.path())
        .arg("trace")
        .arg(scene("teaching-box"))
        .args(["--order", "1", "--out", "taken/out"])
        .assert()
        .code(1);
    assert!(output.get_output().stdout.is_empty());
    assert_eq!(std::fs::read_to_string(folder.path().join("taken")).unwrap(), "mine");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

/// Lines keep to the width a reader has.
#[test]
fn answers_keep_to_narrow_and_wide_terminals() {
    // One in metres, one in feet and inches, which take more room.
    for path in [scene("attic"), scene("garage")] {
        for width in [60, 80, 120] {
            for args in [vec!["trace", "--out", "out", "--bands"], vec!["check"], vec!["materials"]]
            {
                let folder = tempfile::tempdir().unwrap();
                let mut command = earline(folder.path());
                command.env("COLUMNS", width.to_string()).args(args).arg(&path);
                for line in stdout(&mut command).lines() {
                    assert!(line.chars().count() <= width, "{width}: {line}");
                }
            }
        }
    }
}
