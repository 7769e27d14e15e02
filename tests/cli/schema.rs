//! Machine output of every command, held against the published JSON Schemas.

use crate::{earline, scene, stdout};
use jsonschema::Validator;
use serde_json::Value;
use std::path::Path;

/// A document is valid by the schema of its name, and says so. Documents of the other commands are
/// held against theirs where their snapshots are.
pub(crate) fn is_valid(name: &str, text: &str) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/schema");
    let schema = std::fs::read_to_string(folder.join(format!("{name}.schema.json"))).unwrap();
    let schema: Value = serde_json::from_str(&schema).unwrap();
    let validator: Validator = jsonschema::draft202012::new(&schema).unwrap();
    let document: Value = serde_json::from_str(text).unwrap();
    let wrong: Vec<String> = validator
        .iter_errors(&document)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .take(5)
        .collect();
    assert!(wrong.is_empty(), "{name}: {wrong:#?}");
    assert_eq!(document["schema"], format!("earline.{name}/1"));
}

/// Standard output of a command with `--json`, by its arguments after the scene.
fn json(command: &str, scene_stem: &str, more: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let mut earline = earline(folder.path());
    earline.arg(command).arg(scene(scene_stem)).args(more).arg("--json");
    stdout(&mut earline)
}

#[test]
fn documents_without_rays() {
    is_valid("trace", &json("trace", "teaching-box", &["--order", "1", "--rays", "0"]));
    is_valid("listen", &json("listen", "teaching-box", &["--rays", "0"]));
    is_valid("report", &json("report", "teaching-box", &["--rays", "0"]));
}

#[test]
fn the_document_of_a_first_scene() {
    let folder = tempfile::tempdir().unwrap();
    let room = ["--length", "5.8m", "--width", "4.1m", "--height", "2.45m"];
    let mut start = earline(folder.path());
    start.arg("start").args(room).arg("--json");
    is_valid("start", &stdout(&mut start));
    start.args(["--second-base", "1m", "--window", "left", "--sofa", "back"]);
    is_valid("start", &stdout(&mut start));
}
