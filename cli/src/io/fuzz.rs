//! Mutated bytes as a scene file: what is said of them is shown safely.

use super::diagnose::{Look, render};
use super::input::text_of;
use crate::format::foreign;
use crate::fuzzing::{Corpus, fuzz};
use earline_engine::scene::{NoAttachments, Scene};

#[test]
fn fuzz_scene_files() {
    let corpus = Corpus::default()
        .files("tests/fuzz/corpus/scenes", "bytes")
        .files("tests/fuzz/corpus/scenes", "toml")
        .files("tests/broken", "toml");
    fuzz("fuzz_scene_files", 300, &corpus, |bytes| {
        let (message, problems) = match text_of(bytes.to_vec()) {
            Err(trouble) => (format!("{trouble}; {}\n", trouble.help()), 0),
            Ok(text) => {
                let problems = match Scene::parse(&text, &NoAttachments) {
                    Ok(parsed) => parsed.warnings,
                    Err(problems) => problems,
                };
                let look = Look { colour: false, width: 80 };
                (render("room.toml", &text, &problems, look), problems.len())
            }
        };
        let steers = |c: char| foreign::is_steering(c) && c != '\n';
        assert!(!message.chars().any(steers), "{message:?}");
        assert!(problems == 0 || message.contains("room.toml"), "{message}");
    });
}
