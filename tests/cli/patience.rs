//! Work of minutes is told before it begins, and only begun where somebody says that they will wait.

use crate::{earline, scene, stdout};

/// The bedroom as a shaft of bare concrete, whose bass takes some hundred frequencies of a thousand
/// unknowns and more.
fn shaft() -> String {
    let text = std::fs::read_to_string(scene("bedroom")).unwrap();
    let surface = |line: &str| {
        let sides = ["front", "back", "left", "right", "floor", "ceiling"];
        sides.into_iter().find(|side| line.starts_with(&format!("{side} = ")))
    };
    let line = |line: &str| match surface(line) {
        Some(side) => format!("{side} = \"concrete, painted\""),
        None if line.starts_with("height = ") => "height = 22.0".to_owned(),
        None => line.to_owned(),
    };
    text.lines().map(line).collect::<Vec<_>>().join("\n")
}

#[test]
fn minutes_of_work_are_refused_before_they_begin() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("shaft.toml"), shaft()).unwrap();
    let mut listen = earline(folder.path());
    listen.args(["listen", "shaft.toml", "--rays", "64", "--threads", "1"]);
    let run = listen.assert().code(2);
    let said = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    for part in ["this would take about", "--patient", "--rays 0"] {
        assert!(said.contains(part), "{said}");
    }
    assert!(run.get_output().stdout.is_empty());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is written");
    // Without rays there is no wave field to wait for.
    let mut early = earline(folder.path());
    stdout(early.args(["trace", "shaft.toml", "--rays", "0", "--order", "1", "--json"]));
}
