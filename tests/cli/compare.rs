//! `earline compare`, run as a user runs it.

use crate::{contents, earline, scene, scenes_of, stdout};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

fn json(path: &Path, args: &[&str]) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    let text = stdout(command.arg("compare").arg(path).args(args).arg("--json"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "--json writes nothing");
    serde_json::from_str(&text).unwrap()
}

fn refused(path: &Path, args: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let output = earline(folder.path()).arg("compare").arg(path).args(args).assert().code(2);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    assert!(output.get_output().stdout.is_empty());
    String::from_utf8(output.get_output().stderr.clone()).unwrap()
}

fn run(path: &Path, threads: &str) -> (String, BTreeMap<String, Vec<u8>>) {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    let args = ["compare", "--order", "2", "--no-png", "--out", "out", "--threads", threads];
    command.args(args).arg(path);
    (stdout(&mut command), contents(&folder.path().join("out")))
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
}

#[test]
fn one_thread_and_eight_write_the_same_files() {
    let path = scene("attic");
    let (answer, files) = run(&path, "1");
    let names = [
        "compare-bass.svg",
        "compare-elevation-back.svg",
        "compare-elevation-ceiling.svg",
        "compare-elevation-floor.svg",
        "compare-elevation-front.svg",
        "compare-elevation-left.svg",
        "compare-elevation-right.svg",
        "compare-energy-time.svg",
        "compare-plans.svg",
        "compare.json",
        "comparison.csv",
    ];
    assert!(files.keys().eq(names), "{:?}", files.keys());
    assert_eq!((answer, files), run(&path, "8"));
}

/// What the document says of an arrival agrees with itself and with the table.
#[test]
fn document_and_table_agree() {
    let path = scene("attic");
    let (_, files) = run(&path, "2");
    let document: Value = serde_json::from_slice(&files["compare.json"]).unwrap();
    assert_eq!(document["schema"], "earline.compare/1");
    let mut arrivals = BTreeMap::new();
    for pair in document["comparisons"][0]["pairs"].as_array().unwrap() {
        for arrival in pair["arrivals"].as_array().unwrap() {
            assert!(arrivals.insert(arrival["number"].to_string(), arrival).is_none(), "twice");
            if arrival["level_reason"].is_null() && arrival["change_db"].is_number() {
                let [first, second] = numbers(&arrival["level_db"]).try_into().unwrap();
                let change = arrival["change_db"].as_f64().unwrap();
                assert!((second - first - change).abs() < 2e-3, "{arrival}");
            }
        }
    }
    let mut table = csv::Reader::from_reader(files["comparison.csv"].as_slice());
    let heads = table.headers().unwrap().clone();
    let column = |name: &str| heads.iter().position(|head| head == name).unwrap();
    let mut rows = 0;
    for row in table.records() {
        let row = row.unwrap();
        let arrival = arrivals[&row[column("number")]];
        assert_eq!(arrival["became"], row[column("became")]);
        let change = row[column("change_db")].parse::<f64>().ok();
        assert_eq!(arrival["change_db"].as_f64(), change);
        rows += 1;
    }
    assert_eq!(rows, arrivals.len());
}

/// Two names for one state: nothing differs, exactly, in words and in numbers.
#[test]
fn identical_states_do_not_differ() {
    let path = scene("attic");
    let same = ["--variant", "bare", "--variant", "bare"];
    let document = json(&path, &same);
    let comparison = &document["comparisons"][0];
    assert!(comparison["added"].as_array().unwrap().is_empty());
    for pair in comparison["pairs"].as_array().unwrap() {
        for arrival in pair["arrivals"].as_array().unwrap() {
            assert_eq!(arrival["became"], "equal");
            assert_eq!(arrival["change_db"], 0.0);
            assert!(numbers(&arrival["band_change_db"]).iter().all(|db| *db == 0.0));
        }
    }
    assert_eq!(document["states"][0]["zones"], document["states"][1]["zones"]);
    let folder = tempfile::tempdir().unwrap();
    let answer = stdout(earline(folder.path()).arg("compare").arg(&path).args(same));
    assert!(answer.contains("No difference"), "{answer}");
}

/// Every state carries the zones that a trace of it at that seat would, to the last digit, also for
/// another head and frequency.
#[test]
fn zones_are_those_of_a_trace() {
    let path = scene("attic");
    let short = ["--order", "1", "--head", "200", "--zone-hz", "500"];
    let document = json(&path, &[&short[..], &["--listener", "standing"]].concat());
    let states = document["states"].as_array().unwrap();
    assert_eq!(states.len(), 2);
    for state in states {
        let variant = state["variant"].as_str().unwrap();
        let folder = tempfile::tempdir().unwrap();
        let mut trace = earline(folder.path());
        trace.args(["trace", "--json", "--listener", "standing", "--variant", variant]).args(short);
        let trace: Value = serde_json::from_str(&stdout(trace.arg(&path))).unwrap();
        assert_eq!(state["zones"], trace["zones"]);
        assert_eq!(state["zones"]["head_half_m"], 0.2);
        assert_eq!(state["zones"]["frequency_hz"], 500.0);
    }
    assert_ne!(states[0]["zones"], states[1]["zones"], "panels cover something");
}

/// The words follow the document: what is bare is not covered, what is treated is covered in part, and
/// the cloud hides the ceiling.
#[test]
fn the_answer_says_what_covers_where_a_panel_would_work() {
    let path = scene("attic");
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    let args = ["--order", "1", "--no-png", "--full"];
    let answer = stdout(command.arg("compare").arg(&path).args(args));
    let at = |surface: &str| {
        let below = answer.split("Where a panel would work").nth(1).unwrap();
        let line = below.lines().find(|line| line.trim_start().starts_with(surface)).unwrap();
        line.split("  ").map(str::trim).filter(|part| !part.is_empty()).collect::<Vec<_>>()
    };
    let document = json(&path, &["--order", "1"]);
    let left = |state: usize| {
        let surfaces = &document["states"][state]["zones"]["listeners"][0]["surfaces"];
        let left = surfaces.as_array().unwrap().iter().find(|s| s["surface"] == "left").unwrap();
        left["together"]["absorbing_share"].as_f64().unwrap()
    };
    assert!(left(0) < 1e-9, "bare");
    let treated = format!("half covered, {:.0} %", left(1) * 100.0);
    assert_eq!(at("left wall"), ["left wall", "not covered", &treated]);
    assert_eq!(at("ceiling"), ["ceiling", "not covered", "screened by cloud"]);
}

/// The screen says what the document does: over the limit in both states, and the reflections that change
/// most by their energy, what mirrors in one row. What was paid for and leaves early reflections as they are
/// is told with its price: the attic's desk stays the strongest, two panels off its back wall cost 190.
#[test]
fn what_changed_is_on_one_screen() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("back.toml");
    let text = std::fs::read_to_string(scene("attic")).unwrap();
    std::fs::write(&path, text + "\n[[variant]]\nname = \"back only\"\nwith = [\"rear panels\"]\n")
        .unwrap();
    let args = ["--order", "1", "--variant", "bare", "--variant", "back only"];
    let document = json(&path, &args);
    let over = |state: usize| document["states"][state]["over_limit"].as_u64().unwrap();
    let command = ["compare", "--no-png", "--out", "out"];
    let answer = stdout(earline(folder.path()).args(command).arg(&path).args(args));
    let words = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    for says in [
        format!("{} over the limit (EBU Tech 3276: −10 dB in 15 ms), {} in bare", over(1), over(0)),
        "190 spent, and early reflections stay equal".to_owned(),
        "both off back wall → back panel, left / right half".to_owned(),
        "A starting point to experiment from".to_owned(),
    ] {
        assert!(words.contains(&says), "{says}: {answer}");
    }
    let [first, rows, bass] =
        ["  1. ", "What changes most", "Bass\n"].map(|start| answer.find(start).unwrap());
    assert!(first < rows && rows < bass, "{answer}");
    assert!(answer.lines().take(15).any(|line| line.starts_with("  1. ")), "{answer}");
}

/// Costs of the attic's scene file: four panels at 95 and a cloud at 240.
#[test]
fn cost_is_what_the_scene_says() {
    let document = json(&scene("attic"), &["--order", "1"]);
    let cost = &document["comparisons"][0]["cost"];
    assert_eq!((cost["added"].as_f64(), cost["removed"].as_f64()), (Some(620.0), Some(0.0)));
    assert_eq!(cost["removed"].to_string(), "0.0", "nought has no sign");
    let other_way = ["--variant", "treated", "--variant", "bare", "--order", "1"];
    let back = json(&scene("attic"), &other_way);
    assert_eq!(back["comparisons"][0]["cost"]["removed"], 620.0);
    assert_eq!(back["comparisons"][0]["cost"]["db_per_unit"], cost["db_per_unit"]);
}

#[test]
fn states_and_seats_multiply() {
    let names = |args: &[&str]| -> Vec<String> {
        let document = json(&scene("attic"), &[args, &["--order", "1"]].concat());
        let states = document["states"].as_array().unwrap();
        states.iter().map(|state| state["name"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(names(&[]), ["bare", "treated"]);
    assert_eq!(names(&["--variant", "treated"]), ["seated", "standing"]);
    assert_eq!(names(&["--listener", "standing", "--listener", "seated"]), ["standing", "seated"]);
    let all = ["--variant", "treated", "--variant", "bare"];
    let seats = ["--listener", "seated", "--listener", "standing"];
    assert_eq!(
        names(&[all, seats].concat()),
        ["treated, seated", "treated, standing", "bare, seated", "bare, standing"]
    );
}

#[test]
fn what_cannot_be_compared_is_refused() {
    let attic = scene("attic");
    let one = ["--variant", "bare", "--listener", "seated"];
    let message = refused(&attic, &one);
    assert!(message.contains("nothing to compare") && message.contains("help: "), "{message}");
    assert!(refused(&attic, &["--variant", "treatd"]).contains("did you mean `treated`"));
    assert!(refused(&attic, &["--listener", "nobody"]).contains("`standing`"));
    for args in [
        ["--order", "9"],
        ["--window", "0"],
        ["--limit", "nobody"],
        ["--speaker", "x"],
        ["--head", "1001"],
        ["--zone-hz", "49"],
    ] {
        refused(&attic, &args);
    }
    refused(&attic, &["--json", "--out", "x"]);
    assert!(refused(&scene("teaching-box"), &[]).contains("no variants and one listener"));
    for path in scenes_of("tests/broken").iter().take(3) {
        assert!(refused(path, &[]).starts_with("error"));
    }
}

#[test]
fn lines_keep_to_narrow_terminals() {
    // 80 and 120 columns are held with the snapshots, in every room.
    for path in [scene("attic"), scene("garage")] {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        command.env("COLUMNS", "60").args(["compare", "--no-png"]).arg(&path);
        let brief = stdout(&mut command);
        for line in brief.lines().chain(stdout(command.arg("--bands")).lines()) {
            assert!(line.chars().count() <= 60, "{line}");
        }
    }
}
