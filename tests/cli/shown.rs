//! What the documents show: fenced blocks, and the commands in them.

use crate::scenes_of;
use std::path::{Path, PathBuf};

/// A fenced block of a document.
pub(crate) struct Block {
    /// What stands behind the opening fence: `console`, `toml`, `text`.
    pub(crate) kind: String,
    pub(crate) text: String,
}

/// A file of the project, by its path from the top.
pub(crate) fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

/// The text of a file of the project.
pub(crate) fn text_of(path: &str) -> String {
    std::fs::read_to_string(project(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// The documents of a folder by their paths from the top of the project, sorted.
pub(crate) fn documents_in(folder: &str) -> Vec<String> {
    let entries = std::fs::read_dir(project(folder)).unwrap();
    let mut found: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| Path::new(name).extension().is_some_and(|ending| ending == "md"))
        .map(|name| if folder == "." { name } else { format!("{folder}/{name}") })
        .collect();
    found.sort();
    assert!(!found.is_empty());
    found
}

/// The fenced blocks of a document, and what stands around them, in the order of the page.
pub(crate) fn parts(document: &str) -> Vec<Result<Block, String>> {
    let pieces = document.split("```").enumerate();
    let part = |(index, piece): (usize, &str)| {
        if index % 2 == 0 {
            return Err(piece.to_owned());
        }
        let (kind, text) = piece.split_once('\n').unwrap_or((piece, ""));
        Ok(Block { kind: kind.to_owned(), text: text.to_owned() })
    };
    pieces.map(part).collect()
}

/// The fenced blocks of a document.
pub(crate) fn blocks(document: &str) -> Vec<Block> {
    parts(document).into_iter().filter_map(Result::ok).collect()
}

/// Arguments of an `earline …` or `cargo run --release -- …` line, up to a pipe, a redirection or
/// `&&`, which belong to the shell; `None` for any other line.
pub(crate) fn command(line: &str) -> Option<Vec<String>> {
    let line = line.trim();
    line.strip_prefix("cargo run --release -- ").or(line.strip_prefix("earline ")).map(words)
}

/// The words of a command as a shell splits them; what is in quotes is as it stands.
fn words(args: &str) -> Vec<String> {
    let (mut words, mut word, mut quote) = (Vec::new(), String::new(), None);
    for letter in args.chars() {
        match (quote, letter) {
            (Some(open), _) if letter == open => quote = None,
            (None, '"' | '\'') => quote = Some(letter),
            (None, ';' | '|' | '>' | '&' | '#') => break,
            (None, ' ') => words.push(std::mem::take(&mut word)),
            _ => word.push(letter),
        }
    }
    words.push(word);
    words.retain(|word| !word.is_empty());
    words
}

#[test]
fn a_command_ends_where_the_shell_has_its_own() {
    let line = "earline sweep a.toml --vary \"b & c=1\" --figure 'd e'  --quiet > f.txt && ls";
    let expected = ["sweep", "a.toml", "--vary", "b & c=1", "--figure", "d e", "--quiet"];
    assert_eq!(command(line).unwrap(), expected);
    assert!(command("cargo test").is_none());
}

/// Copies all scenes, those of the lessons too, to where the documents have them.
pub(crate) fn lay_out_scenes(folder: &Path) {
    for from in ["scenes", "scenes/lessons"] {
        std::fs::create_dir_all(folder.join(from)).unwrap();
        for scene in scenes_of(from) {
            let copy = folder.join(from).join(scene.file_name().unwrap());
            std::fs::copy(&scene, copy).unwrap();
        }
    }
}
