//! Broken scenes: exit code 2, a message with its place, nothing written.

use crate::{earline, scenes_of};
use std::path::Path;

fn refused(command: &[&str], path: &Path) -> String {
    let folder = tempfile::tempdir().unwrap();
    let output = earline(folder.path()).args(command).arg(path).assert().code(2);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "{}", path.display());
    assert!(output.get_output().stdout.is_empty(), "{}", path.display());
    String::from_utf8(output.get_output().stderr.clone()).unwrap()
}

#[test]
fn every_broken_scene_is_refused_with_its_place() {
    for path in scenes_of("tests/broken") {
        let message = refused(&["trace"], &path);
        let name = path.file_name().unwrap().to_str().unwrap();
        assert!(message.starts_with("error"), "{name}: {message}");
        assert!(message.contains("help: "), "{name} has no remedy: {message}");
        assert!(message.contains(name), "{name} is not named: {message}");
        assert!(!message.contains('\u{1b}'), "{name}: colours in a pipe");
        let located = message.lines().any(|line| {
            let place = line.split_once(&format!("{name}:")).map(|(_, place)| place);
            place.is_some_and(|place| place.starts_with(|c: char| c.is_ascii_digit()))
        });
        let about_the_whole = ["empty", "only-comments"].iter().any(|s| name.contains(s));
        assert!(located || about_the_whole, "{name} has no place: {message}");
    }
}

#[test]
fn check_and_json_refuse_the_same_way() {
    for path in scenes_of("tests/broken").iter().take(10) {
        let traced = refused(&["trace"], path);
        assert_eq!(refused(&["check"], path), traced);
        assert_eq!(refused(&["trace", "--json"], path), traced);
        assert_eq!(refused(&["materials"], path), traced);
    }
}

#[test]
fn what_is_no_scene_file_at_all() {
    let home = tempfile::tempdir().unwrap();
    assert!(refused(&["trace"], home.path()).contains("folder"));
    let missing = home.path().join("gone.toml");
    assert!(refused(&["trace"], &missing).contains("gone.toml"));
    let binary = home.path().join("binary.toml");
    std::fs::write(&binary, [0u8, 159, 146, 150, 0, 1, 2, 255]).unwrap();
    assert!(refused(&["trace"], &binary).contains("binary.toml"));
    let huge = home.path().join("huge.toml");
    std::fs::File::create(&huge).unwrap().set_len(100 << 20).unwrap();
    assert!(refused(&["trace"], &huge).contains("huge.toml"));
}
