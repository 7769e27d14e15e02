//! `earline treat`, run as a user runs it.

use crate::{contents, earline, scene, stdout};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

const BARE: [&str; 4] = ["--variant", "bare", "--pieces", "3"];

fn run(threads: &str) -> (String, BTreeMap<String, Vec<u8>>) {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.arg("treat").arg(scene("attic")).args(BARE);
    let answer = stdout(command.args(["--full", "--no-png", "--out", "out", "--threads", threads]));
    (answer, contents(&folder.path().join("out")))
}

fn json(path: &Path, args: &[&str]) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let text = stdout(earline(folder.path()).arg("treat").arg(path).args(args).arg("--json"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "--json writes nothing");
    serde_json::from_str(&text).unwrap()
}

fn refused(path: &Path, args: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let output = earline(folder.path()).arg("treat").arg(path).args(args).assert().code(2);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    assert!(output.get_output().stdout.is_empty());
    let message = String::from_utf8(output.get_output().stderr.clone()).unwrap();
    assert_eq!(message.matches("error").count(), 1, "{message}");
    assert!(message.contains("help: ") || message.contains("--help"), "{message}");
    message
}

#[test]
fn one_thread_and_three_write_the_same_files() {
    let (answer, files) = run("1");
    for name in ["treat.json", "treated.toml", "hang-ceiling.svg"] {
        assert!(files.contains_key(name), "{name} is missing: {:?}", files.keys());
    }
    for heading in [
        "What to buy, in this order",
        "The proof of each step",
        "Where each goes",
        "What these builds do",
        "What is left",
        "Take care",
    ] {
        assert!(answer.contains(heading), "{heading}");
    }
    let words = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    for caution in ["Overhead: load-rated", "qualified installer", "EN 13501-1", "Local building"] {
        assert!(words.contains(caution), "{caution}");
    }
    assert!(words.contains("A starting point to experiment from"));
    assert_eq!((answer, files), run("3"));
}

/// The answer on one screen says what the document does: seats before and after, steps in their order, and
/// what no panel mends; it never leaves out what hangs overhead.
#[test]
fn what_to_buy_first_is_on_one_screen() {
    let told = json(&scene("attic"), &BARE);
    let folder = tempfile::tempdir().unwrap();
    let mut treat = earline(folder.path());
    let args = ["treat", "--no-png", "--out", "out"];
    let answer = stdout(treat.args(args).arg(scene("attic")).args(BARE));
    let words = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    let steps = told["steps"].as_array().unwrap();
    let after = &steps.last().unwrap()["state"]["listeners"];
    for (index, seat) in ["seated", "standing"].into_iter().enumerate() {
        let over = |state: &Value| state[index]["over_limit"].as_u64().unwrap();
        let [before, now] = [&told["before"]["listeners"], after].map(over);
        let says = format!("{seat}: {now} early reflections over the limit");
        let finding = words.split(&says).nth(1).unwrap();
        let says = format!(", {before} before; strongest");
        assert!(finding.contains(&says), "{says}: {answer}");
    }
    for (index, step) in steps.iter().enumerate() {
        let gain = step["gain_db"].as_f64().unwrap();
        let spent = step["cost_so_far"].as_f64().unwrap();
        let says = format!("gains {gain:.1} dB, {spent} spent so far");
        let point = words.split(&format!(" {}. ", index + 1)).nth(1).unwrap();
        assert!(point.contains(&says), "{says}: {answer}");
    }
    for says in [
        "wool board 2 / 3: left / right wall, middle",
        "Top of desk",
        "Overhead: load-rated",
        "qualified installer",
        "EN 13501-1",
        "`earline compare \"out/treated.toml\"`",
        "A starting point to experiment from",
    ] {
        assert!(words.contains(says), "{says}: {answer}");
    }
    assert!(answer.lines().take(15).any(|line| line.starts_with("  1. ")), "{answer}");
}

/// What is predicted is what `earline compare` says of the scene that is left, figure by figure, seat
/// by seat.
#[test]
fn compare_agrees_with_the_prediction() {
    let folder = tempfile::tempdir().unwrap();
    let mut treat = earline(folder.path());
    stdout(treat.arg("treat").arg(scene("attic")).args(BARE).args(["--out", "out"]));
    let read = std::fs::read(folder.path().join("out/treat.json")).unwrap();
    let told: Value = serde_json::from_slice(&read).unwrap();
    let steps = told["steps"].as_array().unwrap();
    assert!(!steps.is_empty());
    let after = &steps.last().unwrap()["state"];
    for (index, listener) in ["seated", "standing"].into_iter().enumerate() {
        let mut compare = earline(folder.path());
        compare.args(["compare", "out/treated.toml", "--json", "--listener", listener]);
        let compared: Value = serde_json::from_str(&stdout(&mut compare)).unwrap();
        let states = compared["states"].as_array().unwrap();
        assert_eq!(
            (&states[0]["variant"], &states[1]["variant"]),
            (&told["before"]["variant"], &after["variant"])
        );
        for (state, told) in states.iter().zip([&told["before"], after]) {
            let seat = &told["listeners"][index];
            assert_eq!(seat["listener"], listener);
            assert_eq!(state["over_limit"], seat["over_limit"]);
            // The first of both windows is the limit's: 15 ms.
            let strongest = &state["strongest"][0];
            assert_eq!(strongest["within_ms"], told_window(&compared));
            for key in ["speaker", "surfaces", "after_direct_ms", "level_db"] {
                assert_eq!(strongest[key], seat["strongest"][key], "{key} at {listener}");
            }
        }
        let cost = compared["comparisons"][0]["cost"]["added"].as_f64();
        assert_eq!(cost, steps.last().unwrap()["cost_so_far"].as_f64());
    }
}

fn told_window(compared: &Value) -> f64 {
    compared["limit"]["window_ms"].as_f64().unwrap()
}

#[test]
fn the_document_adds_up() {
    let told =
        json(&scene("attic"), &["--variant", "bare", "--budget", "400", "--listener", "seated"]);
    assert_eq!(told["schema"], "earline.treat/1");
    assert_eq!(told["gain_held_against"], "cost");
    assert_eq!(told["generic_absorbers"], false);
    let mut over = told["before"]["over_db"].as_f64().unwrap();
    let mut spent = 0.0;
    let steps = told["steps"].as_array().unwrap();
    for (index, step) in steps.iter().enumerate() {
        let now = step["state"]["over_db"].as_f64().unwrap();
        assert!((over - now - step["gain_db"].as_f64().unwrap()).abs() < 2e-3);
        over = now;
        spent += step["cost"].as_f64().unwrap();
        assert_eq!(step["cost_so_far"].as_f64(), Some(spent));
        assert_eq!(
            step["worth"].as_bool().unwrap(),
            (index as u64) < told["worth_steps"].as_u64().unwrap()
        );
        for piece in step["pieces"].as_array().unwrap() {
            for axis in 0..2 {
                let at = |key: &str| piece[key][axis].as_f64().unwrap();
                assert!((at("high_m") - at("low_m") - at("size_m")).abs() < 2e-5);
                assert!((at("high_m") + at("low_m") - 2.0 * at("centre_m")).abs() < 3e-5);
            }
            assert!([9.0, 26.0].contains(&piece["weight_kg"].as_f64().unwrap()));
        }
    }
    assert!(!steps.is_empty() && spent <= 400.0);
    // Generic builds are named as such.
    let generic = json(&scene("study"), &["--pieces", "1", "--singly"]);
    assert_eq!(generic["generic_absorbers"], true);
    assert_eq!(generic["absorbers"][0]["cost"], Value::Null);
    assert_eq!(generic["absorbers"][0]["weight_from"], "estimate");
}

#[test]
fn impossible_requests_get_one_clear_message() {
    let attic = scene("attic");
    assert!(refused(&attic, &["--budget", "0"]).contains("nothing can be bought"));
    assert!(refused(&attic, &["--budget", "-5"]).contains("nothing can be bought"));
    assert!(refused(&attic, &["--budget", "10"]).contains("95"));
    assert!(refused(&attic, &["--pieces", "0"]).contains("no pieces"));
    assert!(refused(&attic, &["--variant", "treatd"]).contains("did you mean `treated`"));
    assert!(refused(&scene("study"), &["--budget", "100"]).contains("[[absorber]]"));
    for args in [["--pieces", "25"], ["--budget", "much"], ["--limit", "nobody"]] {
        refused(&attic, &args);
    }
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(&attic).unwrap();
    let changed = |from: &str, to: &str| {
        let path = folder.path().join("changed.toml");
        assert!(text.contains(from));
        std::fs::write(&path, text.replace(from, to)).unwrap();
        path
    };
    let boards = "name = \"wool board\"\nsize = [\"1.20 m\", \"0.60 m\"]";
    let clouds = "name = \"hung cloud\"\nsize = [\"1.80 m\", \"1.20 m\"]";
    let large = changed(boards, "name = \"wool board\"\nsize = [\"9 m\", \"8 m\"]");
    let text = std::fs::read_to_string(&large).unwrap();
    std::fs::write(
        &large,
        text.replace(clouds, "name = \"hung cloud\"\nsize = [\"9 m\", \"8 m\"]"),
    )
    .unwrap();
    assert!(refused(&large, &["--variant", "bare"]).contains("larger than the surfaces"));
    let nowhere = text
        .replace("hang = \"250 mm\"", "")
        .replace("on = [\"ceiling\"]", "on = [\"left\", \"right\"]")
        + "[[keep_clear]]\nname = \"glass\"\non = \"left\"\ncentre = [2.9, 1.225]\nsize = [5.8, 2.45]\n";
    let nowhere = nowhere.replace("weight_kg = 9", "weight_kg = 9\non = [\"left\"]");
    std::fs::write(&large, nowhere.replace("[\"9 m\", \"8 m\"]", "[\"1 m\", \"0.5 m\"]")).unwrap();
    assert!(refused(&large, &["--variant", "bare"]).contains("nowhere to put anything"));
}

#[test]
fn lines_keep_to_narrow_and_wide_terminals() {
    // 80 columns are held with the snapshots.
    for width in [60, 120] {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        command
            .env("COLUMNS", width.to_string())
            .args(["treat", "--no-png"])
            .arg(scene("attic"))
            .args(BARE);
        let brief = stdout(&mut command);
        for line in brief.lines().chain(stdout(command.arg("--full")).lines()) {
            assert!(line.chars().count() <= width, "{width}: {line}");
        }
    }
}

/// Stopped in the middle of the search, nothing is there.
#[cfg(unix)]
#[test]
fn stopped_it_leaves_nothing() {
    let home = tempfile::tempdir().unwrap();
    let mut run = std::process::Command::new(assert_cmd::cargo::cargo_bin!("earline"))
        .current_dir(home.path())
        .args(["treat", "--quiet", "--pieces", "12"])
        .arg(scene("garage"))
        .stdout(std::process::Stdio::null())
        .spawn()
        .unwrap();
    crate::interrupt_after(&mut run, 1);
    assert_eq!(run.wait().unwrap().code(), Some(130));
    assert_eq!(std::fs::read_dir(home.path()).unwrap().count(), 0);
}
