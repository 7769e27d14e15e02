//! Same input, same bytes: from run to run and at any number of threads.

use crate::{contents, earline, scenes_of, stdout};
use std::collections::BTreeMap;
use std::path::Path;

fn run(path: &Path, threads: &str) -> (String, BTreeMap<String, Vec<u8>>) {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    command.args(["trace", "--order", "2", "--out", "out", "--threads", threads]).arg(path);
    (stdout(&mut command), contents(&folder.path().join("out")))
}

#[test]
fn one_thread_and_eight_and_a_second_run() {
    for path in scenes_of("scenes") {
        let (answer, files) = run(&path, "1");
        for threads in ["8", "1"] {
            let (again, same) = run(&path, threads);
            assert_eq!(answer, again);
            assert!(files.keys().eq(same.keys()));
            for (name, bytes) in &files {
                assert!(same[name] == *bytes, "{name} of {} differs", path.display());
            }
        }
    }
}

#[test]
fn json_too() {
    for path in scenes_of("scenes") {
        let folder = tempfile::tempdir().unwrap();
        let json = |threads: &str| {
            let mut command = earline(folder.path());
            stdout(command.args(["trace", "--json", "--threads", threads]).arg(&path))
        };
        assert_eq!(json("1"), json("8"));
    }
}
