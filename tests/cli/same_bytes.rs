//! Same input, same bytes: from run to run and at any number of threads.

use crate::{contents, earline, scenes_of, stdout};
use std::collections::BTreeMap;
use std::path::Path;

fn run(path: &Path, threads: &str) -> (String, BTreeMap<String, Vec<u8>>) {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.args(["trace", "--order", "2", "--rays", "256", "--threads", threads]).arg(path);
    let answer = stdout(&mut command);
    (answer, contents(&folder.path().join("earline-out").join(path.file_stem().unwrap())))
}

/// Every scene leaves its files, and those with most in them the same ones with one thread and with
/// eight.
#[test]
fn files_of_every_scene() {
    for path in scenes_of("scenes") {
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
        if !["attic", "garage"].contains(&path.file_stem().unwrap().to_str().unwrap()) {
            continue;
        }
        let (again, same) = run(&path, "8");
        assert_eq!(answer, again);
        assert!(files.keys().eq(same.keys()));
        for (name, bytes) in &files {
            assert!(same[name] == *bytes, "{name} of {} differs", path.display());
        }
    }
}
