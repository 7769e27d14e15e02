//! Same input, same bytes: from run to run and at any number of threads.

use crate::{contents, earline, scene, stdout};
use std::collections::BTreeMap;
use std::path::Path;

fn run(path: &Path, more: &[&str], threads: &str) -> (String, BTreeMap<String, Vec<u8>>) {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command
        .args(["trace", "--order", "2", "--rays", "256", "--full", "--threads", threads])
        .args(more)
        .arg(path);
    let answer = stdout(&mut command);
    (answer, contents(&folder.path().join("earline-out").join(path.file_stem().unwrap())))
}

/// A room in metres, one in feet and inches and a bare one leave their files, and the same ones with
/// one thread and with eight. Pixels are compared in one of them: they are made of the same lines.
#[test]
fn files_of_a_trace() {
    let lines_only: &[&str] = &["--no-png"];
    for (stem, more) in [("attic", &[][..]), ("garage", lines_only), ("teaching-box", lines_only)] {
        let path = scene(stem);
        let (answer, files) = run(&path, more, "1");
        assert!(answer.contains("Reflections") && !answer.contains('\u{1b}'));
        for name in [
            "trace.json",
            "reflections.csv",
            "energy-time.csv",
            "decay.csv",
            "plan.svg",
            "plan.png",
            "section.svg",
            "section.png",
            "energy-time.svg",
            "energy-time.png",
            "decay.svg",
            "decay.png",
            "reverberation.svg",
            "reverberation.png",
            "elevation-sides.svg",
            "elevation-sides.png",
            "elevation-ends.png",
            "elevation-floor.png",
            "elevation-ceiling.png",
        ] {
            let is_left = files.get(name).is_some_and(|bytes| bytes.len() > 100);
            assert_eq!(is_left, more.is_empty() || !name.contains(".png"), "{name}");
        }
        assert!(files.keys().all(|name| !name.starts_with('.')), "something half-written is left");
        assert!(files.get("plan.png").is_none_or(|png| png.starts_with(b"\x89PNG")));
        let (again, same) = run(&path, more, "8");
        assert_eq!(answer, again);
        assert!(files.keys().eq(same.keys()));
        for (name, bytes) in &files {
            assert!(same[name] == *bytes, "{name} of {} differs", path.display());
        }
    }
}
