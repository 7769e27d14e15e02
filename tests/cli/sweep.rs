//! `earline sweep`: the table, and what becomes of it when a run is killed or shared out.

use crate::{contents, earline, scene, scenes_of, stdout};
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use std::path::Path;
use std::process::{Command, Stdio};

/// A sweep of 24 runs with rays, some of them seats that are not in the room.
const SWEEP: [&str; 10] = [
    "--vary",
    "listener.listener.at.x=3.0..6.5:0.5",
    "--vary",
    "listener.listener.at.z=1.1,1.2,1.3",
    "--figure",
    "strongest_db",
    "--figure",
    "t20_s@1000",
    "--rays",
    "64",
];

fn sweep(folder: &Path, more: &[&str]) -> assert_cmd::Command {
    let mut command = earline(folder);
    command.arg("sweep").arg(scene("teaching-box")).args(SWEEP).args(more);
    command
}

/// The three files of a sweep.
fn table(folder: &Path) -> Vec<Vec<u8>> {
    let files = contents(folder);
    ["sweep.csv", "sweep.parquet", "sweep.json"].map(|name| files[name].clone()).to_vec()
}

fn records(folder: &Path) -> (Vec<String>, Vec<Vec<String>>) {
    let bytes = &table(folder)[0];
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    let words = |record: &csv::StringRecord| record.iter().map(str::to_owned).collect();
    let heads = words(reader.headers().unwrap());
    (heads, reader.records().map(|record| words(&record.unwrap())).collect())
}

/// One row for each run; runs that the rules refuse say why and have no figures; both files hold the
/// same.
#[test]
fn the_table_has_every_run_and_both_files_agree() {
    let folder = tempfile::tempdir().unwrap();
    sweep(folder.path(), &["--out", "out", "--threads", "2"]).assert().success();
    let out = folder.path().join("out");
    let (heads, rows) = records(&out);
    assert_eq!(heads[..3], ["run", "listener.listener.at.x", "listener.listener.at.z"]);
    assert_eq!(heads[3..6], ["variant", "speaker", "listener"]);
    assert_eq!(heads[6..8], ["strongest_db", "t20_s@1000"]);
    assert_eq!(heads[8..], ["t20_s@1000.error", "refused"]);
    assert_eq!(rows.len(), 24);
    for (number, row) in rows.iter().enumerate() {
        assert_eq!(row[0], number.to_string());
        let x: f64 = row[1].parse().unwrap();
        // The room is 6 m long: a head behind its back wall is refused.
        assert_eq!(row[9].is_empty(), x < 6.0, "{row:?}");
        assert_eq!(row[6].parse::<f64>().is_ok(), x < 6.0, "{row:?}");
        // Few rays may leave a value without an error, never an error without a value.
        assert!(row[8].is_empty() || row[7].parse::<f64>().is_ok(), "{row:?}");
    }
    let bytes = bytes::Bytes::from(table(&out)[1].clone());
    let reader = SerializedFileReader::new(bytes).unwrap();
    let mut count = 0;
    for (found, row) in reader.get_row_iter(None).unwrap().zip(&rows) {
        let found = found.unwrap();
        for ((name, field), (head, text)) in found.get_column_iter().zip(heads.iter().zip(row)) {
            assert_eq!(name, head);
            match field {
                Field::Long(number) => assert_eq!(number.to_string(), *text),
                Field::Double(number) => assert_eq!(number.to_string(), *text),
                Field::Str(word) => assert_eq!(word, text),
                Field::Null => assert!(text.is_empty()),
                other => panic!("{other:?}"),
            }
        }
        count += 1;
    }
    assert_eq!(count, 24);
    // What a run says is what the scene of that run says to other commands.
    let taken = sweep(folder.path(), &["--out", "out", "--take", "13"]).output().unwrap();
    assert!(taken.status.success());
    let traced =
        stdout(earline(folder.path()).args(["trace", "out/run-13.toml", "--json", "--rays", "64"]));
    let traced: serde_json::Value = serde_json::from_str(&traced).unwrap();
    let t20_s = &traced["pairs"][0]["decay"]["t20_s"][4];
    assert_eq!(t20_s.as_f64().map_or(String::new(), |s| s.to_string()), rows[13][7]);
}

/// Killed without warning in the middle, and once more with a line cut off: the same bytes as in one go.
#[test]
fn a_killed_sweep_goes_on_where_it_was() {
    let folder = tempfile::tempdir().unwrap();
    sweep(folder.path(), &["--out", "whole", "--threads", "2"]).assert().success();
    let whole = table(&folder.path().join("whole"));
    let kept = folder.path().join("cut/runs.jsonl");
    let lines = || std::fs::read_to_string(&kept).unwrap_or_default().lines().count();
    let mut child = Command::new(assert_cmd::cargo::cargo_bin!("earline"))
        .current_dir(folder.path())
        .arg("sweep")
        .arg(scene("teaching-box"))
        .args(SWEEP)
        .args(["--out", "cut", "--threads", "1"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    while lines() < 6 && child.try_wait().unwrap().is_none() {
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let done = lines();
    assert!((6..25).contains(&done), "{done} lines: the sweep was over before it could be killed");
    assert!(!folder.path().join("cut/sweep.csv").exists());
    // As a machine that loses its power leaves it: half a line.
    let text = std::fs::read_to_string(&kept).unwrap();
    std::fs::write(&kept, &text[..text.trim_end().len() - 7]).unwrap();
    sweep(folder.path(), &["--out", "cut", "--threads", "2"]).assert().success();
    assert_eq!(table(&folder.path().join("cut")), whole);
    assert!(!kept.exists(), "the table has all of it");
}

/// Parts done by themselves, in any order, make the same table; until all are there --merge refuses.
#[test]
fn parts_together_are_the_whole() {
    let folder = tempfile::tempdir().unwrap();
    sweep(folder.path(), &["--out", "whole"]).assert().success();
    for part in ["3/3", "1/3"] {
        let said = stdout(&mut sweep(folder.path(), &["--out", "parts", "--shard", part]));
        assert!(said.contains("8 of 24 runs"), "{said}");
    }
    let early = sweep(folder.path(), &["--out", "parts", "--merge"]).assert().code(1);
    let message = String::from_utf8(early.get_output().stderr.clone()).unwrap();
    assert!(message.contains("8 of 24 runs are not in parts"), "{message}");
    sweep(folder.path(), &["--out", "parts", "--shard", "2/3"]).assert().success();
    sweep(folder.path(), &["--out", "parts", "--merge"]).assert().success();
    assert_eq!(table(&folder.path().join("parts")), table(&folder.path().join("whole")));
    // A part that is started again does nothing anew.
    let before = contents(&folder.path().join("parts"));
    sweep(folder.path(), &["--out", "parts", "--shard", "2/3"]).assert().success();
    assert_eq!(contents(&folder.path().join("parts")), before);
}

/// Runs of another sweep are neither taken for this one's nor overwritten.
#[test]
fn runs_of_another_sweep_are_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    sweep(folder.path(), &["--out", "out", "--shard", "1/20"]).assert().success();
    let before = contents(&folder.path().join("out"));
    let refused = sweep(folder.path(), &["--out", "out", "--order", "2"]).assert().code(2);
    let message = String::from_utf8(refused.get_output().stderr.clone()).unwrap();
    assert!(message.contains("another sweep; different are the order"), "{message}");
    assert_eq!(contents(&folder.path().join("out")), before);
}

/// A document on stdout has the rows of the table, and nothing is written.
#[test]
fn json_has_the_rows_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.arg("sweep").arg(scene("attic")).args([
        "--shift",
        "-speaker.main left.at.y & speaker.main right.at.y=0 cm..20 cm",
        "--draws",
        "3",
        "--seed",
        "9",
        "--variant",
        "bare",
        "--variant",
        "treated",
        "--listener",
        "seated",
        "--figure",
        "cost",
        "--figure",
        "direct_distance_m",
        "--json",
    ]);
    let document: serde_json::Value = serde_json::from_str(&stdout(&mut command)).unwrap();
    assert_eq!(document["schema"], "earline.sweep/1");
    assert_eq!(document["design"]["seed"], 9);
    let rows = document["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 3 * 2 * 2);
    for row in rows {
        let moved = row[1].as_f64().unwrap();
        assert!((0.0..0.2).contains(&moved));
        let cost = row[5].as_f64();
        assert_eq!(cost, (row[2] == "treated").then_some(620.0));
        // Speaker at (0.81, 1.25 − m, 1.2), head at (2.2, 2.05, 1.2).
        let distance = 1.39f64.hypot(0.8 + moved);
        assert!((row[6].as_f64().unwrap() - distance).abs() < 1e-5, "{row}");
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// Wrong from the start: one message, exit code 2, nothing written.
#[test]
fn what_cannot_be_swept_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let length = ["--vary", "room.length=5..6:0.5"];
    for (args, message) in [
        (vec![], "--vary"),
        (vec!["--vary", "room.length"], "an equals sign"),
        (vec!["--vary", "room.length=6..5:1"], "above the second"),
        (vec!["--vary", "room.length=5..6"], "a range without a step"),
        (vec!["--vary", "room.lenght=5..6:1"], "did you mean `length`"),
        (vec!["--vary", "surfaces.left=1,2"], "is no number"),
        (vec!["--vary", "air.temperature_c=1 m,2 m"], "is not a length"),
        (vec!["--vary", "room.length=5,6", "--vary", "room.length=5,6"], "same number"),
        (
            vec!["--vary", "room.length=0..1:0.000011", "--vary", "room.width=0..1:0.01"],
            "1000000 runs",
        ),
        ([&length[..], &["--figure", "t20"]].concat(), "did you mean `t20_s`"),
        ([&length[..], &["--figure", "t20_s@1000", "--rays", "0"]].concat(), "need rays"),
        ([&length[..], &["--shard", "4/3"]].concat(), "counted from 1 to 3"),
        ([&length[..], &["--take", "3"]].concat(), "no run 3"),
        ([&length[..], &["--draws", "0"]].concat(), "from 1 to 65536"),
        ([&length[..], &["--variant", "bear"]].concat(), "no variant"),
        ([&length[..], &["--merge", "--shard", "1/2"]].concat(), "cannot be used with"),
    ] {
        let mut command = earline(folder.path());
        let output = command.arg("sweep").arg(scene("teaching-box")).args(&args).output().unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{args:?}: {said}");
        assert!(said.contains(message), "{args:?}: {said}");
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// Every length and number of the demo scenes that a sweep is told to vary takes its own value and
/// changes nothing.
#[test]
fn a_run_with_the_scenes_own_numbers_is_the_scene() {
    let folder = tempfile::tempdir().unwrap();
    for path in scenes_of("scenes") {
        let of = |extra: &[&str]| -> serde_json::Value {
            let mut command = earline(folder.path());
            command.arg("sweep").arg(&path).args(extra).args([
                "--json",
                "--figure",
                "strongest_db",
            ]);
            serde_json::from_str(&stdout(&mut command)).unwrap()
        };
        let still = of(&["--shift", "room.length=0"]);
        let cold = of(&["--shift", "room.height=0", "--shift", "room.width=0"]);
        let last = |document: &serde_json::Value| -> Vec<serde_json::Value> {
            let rows = document["rows"].as_array().unwrap();
            rows.iter()
                .map(|row| row.as_array().unwrap().iter().nth_back(1).unwrap().clone())
                .collect()
        };
        assert_eq!(last(&still), last(&cold), "{}", path.display());
        assert!(!last(&still).is_empty());
    }
}
