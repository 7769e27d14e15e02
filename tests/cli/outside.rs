//! The world around a run: a reader who leaves early, a hand on Ctrl-C.

#![cfg(unix)]

use crate::scene;
use std::collections::BTreeSet;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

fn earline() -> Command {
    Command::new(assert_cmd::cargo::cargo_bin!("earline"))
}

/// `earline … | head -1`: no complaint, and the files are all there.
#[test]
fn a_reader_who_leaves_early_is_no_fault() {
    let folder = tempfile::tempdir().unwrap();
    let mut run = earline()
        .current_dir(folder.path())
        .args(["trace", "--quiet", "--order", "1", "--out", "out"])
        .arg(scene("teaching-box"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(run.stdout.take());
    let output = run.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(folder.path().join("out/plan.png").exists());
}

/// Stopped at any moment, a run leaves a whole set of files or nothing.
#[test]
fn stopped_at_any_moment_nothing_is_half_written() {
    let begun = Instant::now();
    let (_home, undisturbed) = run_stopped_after(None);
    let whole = begun.elapsed();
    assert!(undisturbed.contains("plan.png"), "{undisturbed:?}");
    for share in [0.0, 0.05, 0.1, 0.2, 0.4, 0.7, 0.9, 0.97] {
        let wait = whole.mul_f64(share);
        let (home, files) = run_stopped_after(Some(wait));
        assert!(files.is_empty() || files == undisturbed, "{files:?} after {wait:?}");
        if files.is_empty() {
            assert_eq!(std::fs::read_dir(home.path()).unwrap().count(), 0, "after {wait:?}");
        }
    }
}

/// A run in a folder of its own, and the names of the files it left.
fn run_stopped_after(wait: Option<Duration>) -> (tempfile::TempDir, BTreeSet<String>) {
    let home = tempfile::tempdir().unwrap();
    let mut run = earline()
        .current_dir(home.path())
        .args(["trace", "--quiet", "--order", "1"])
        .arg(scene("teaching-box"))
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    if let Some(wait) = wait {
        std::thread::sleep(wait);
        // The process may be done already.
        let id = run.id().to_string();
        let _ = Command::new("kill").args(["-INT", &id]).stderr(Stdio::null()).status();
    }
    run.wait().unwrap();
    let out = home.path().join("earline-out/teaching-box");
    let files = std::fs::read_dir(out).map_or(BTreeSet::new(), |entries| {
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
    });
    (home, files)
}
