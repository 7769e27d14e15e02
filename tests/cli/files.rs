//! What a trace leaves on the disk.

use crate::{earline, scene, stdout};
use std::path::Path;

/// Numbers, delays and levels of the list agree with the table for spreadsheets.
#[test]
fn the_list_and_the_table_agree() {
    let folder = tempfile::tempdir().unwrap();
    // Of one speaker, so that nothing has a mirror image beside it.
    let chosen = ["--variant", "bare", "--listener", "seated", "--speaker", "main left"];
    let args = ["--order", "1", "--rays", "0", "--no-png", "--full", "--out", "out"];
    let mut command = earline(folder.path());
    let answer = stdout(command.arg("trace").arg(scene("attic")).args(chosen).args(args));
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
        assert!(line.contains(&format!("{db:.1} dB").replace('-', "−")), "{line}");
        assert!(line.contains(&row[column("limit")]), "{line}");
        rows += 1;
    }
    assert!(rows >= 6, "six surfaces make six first bounces or more");
}

#[test]
fn json_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    stdout(earline(folder.path()).args(["trace", "--rays", "64", "--json"]).arg(scene("attic")));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// Lines keep to the width a reader has. The answer to a trace is tried at every width beside its
/// code; here one goes through the whole program.
#[test]
fn answers_keep_to_narrow_and_wide_terminals() {
    // One in metres, one in feet and inches, which take more room.
    for path in [scene("attic"), scene("garage")] {
        for width in [60, 80, 120] {
            for command in ["check", "materials"] {
                keeps_to_its_width(width, &[command], &path);
            }
        }
    }
    keeps_to_its_width(
        60,
        &["trace", "--order", "1", "--rays", "64", "--bands", "--no-png"],
        &scene("teaching-box"),
    );
}

fn keeps_to_its_width(width: usize, args: &[&str], path: &Path) {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.env("COLUMNS", width.to_string()).args(args).arg(path);
    for line in stdout(&mut command).lines() {
        assert!(line.chars().count() <= width, "{width}: {line}");
    }
}
