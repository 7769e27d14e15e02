//! The world around a run: a reader who leaves early, a hand on Ctrl-C.

#![cfg(unix)]

use crate::scene;
use std::process::{Command, Stdio};

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
    for wait_ms in [0, 60, 150, 300, 500, 800] {
        let folder = tempfile::tempdir().unwrap();
        let mut run = earline()
            .current_dir(folder.path())
            .args(["trace", "--quiet", "--order", "1"])
            .arg(scene("teaching-box"))
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_millis(wait_ms));
        let id = run.id().to_string();
        // The process may be done already.
        let _ = Command::new("kill").args(["-INT", &id]).stderr(Stdio::null()).status();
        run.wait().unwrap();
        let out = folder.path().join("earline-out/teaching-box");
        let files = std::fs::read_dir(&out).map_or(0, Iterator::count);
        assert!(files == 0 || files == 9, "{files} files after {wait_ms} ms");
        if files == 0 {
            assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "after {wait_ms} ms");
        }
    }
}
