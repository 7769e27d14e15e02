//! Same input, same bytes: from run to run and at any number of threads.

use crate::{contents, earline, scene, stdout};
use std::collections::BTreeMap;
use std::path::Path;

fn run(path: &Path, threads: &str) -> (String, BTreeMap<String, Vec<u8>>) {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.args(["trace", "--order", "2", "--rays", "256", "--threads", threads]).arg(path);
    let answer = stdout(&mut command);
    (answer, contents(&folder.path().join("earline-out").join(path.file_stem().unwrap())))
}

/// A room in metres, one in feet and inches and a bare one leave their files, and the same ones with
/// one thread and with eight.
#[test]
fn files_of_a_trace() {
    for stem in ["attic", "garage", "teaching-box"] {
        let path = scene(stem);
        let (answer, files) = run(&path, "1");
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
            assert!(files.get(name).is_some_and(|bytes| bytes.len() > 100), "{name}");
        }
        assert!(files.keys().all(|name| !name.starts_with('.')), "something half-written is left");
        assert!(files["plan.png"].starts_with(b"\x89PNG"));
        let (again, same) = run(&path, "8");
        assert_eq!(answer, again);
        assert!(files.keys().eq(same.keys()));
        for (name, bytes) in &files {
            assert!(same[name] == *bytes, "{name} of {} differs", path.display());
        }
    }
}
