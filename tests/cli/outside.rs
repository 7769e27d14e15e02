//! The world around a run: a reader who leaves early.

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
