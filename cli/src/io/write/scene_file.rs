//! A scene as a file, with the files that it names beside it.

use super::{OutputSet, TABLES};
use crate::format::foreign;
use crate::io::input::SIZE_MAX;
use anyhow::{Context, Result, anyhow, bail};
use earline_engine::scene::{
    Attachments, Problem, Scene, Severity, attachment_names, with_attachment_names,
};
use std::collections::BTreeMap;
use std::path::Path;

/// A scene to be written.
#[derive(Clone, Copy)]
pub(crate) struct SceneFile<'a> {
    /// Name of the file.
    pub(crate) name: &'a str,
    /// Lines of a comment before it.
    pub(crate) comment: &'a [String],
    /// Its text.
    pub(crate) text: &'a str,
    /// The files it names, by the names in its text.
    pub(crate) attachments: &'a dyn Attachments,
}

/// A file that written scenes name.
#[derive(Debug)]
pub(super) struct AttachedFile {
    /// Stem of its own name.
    stem: String,
    /// Its text.
    text: String,
    /// Its name in the output folder.
    name: String,
}

impl OutputSet {
    /// A scene, and beside it every file that it names, so that it is read wherever the folder is taken.
    ///
    /// # Errors
    /// When a file that it names cannot be read, or what would be written is no scene.
    pub(crate) fn add_scene(&mut self, scene: &SceneFile<'_>) -> Result<()> {
        let position = self.files.len();
        let (mut renamed, mut beside) = (BTreeMap::new(), BTreeMap::new());
        for file in attachment_names(scene.text) {
            let text = scene.attachments.read(&file).map_err(|why| anyhow!(why))?;
            let name = self.attach(&file, &text);
            beside.insert(name.clone(), text);
            renamed.insert(file, name);
        }
        let mut text = commented(scene.comment);
        text.push_str(&with_attachment_names(scene.text, &renamed));
        is_scene(&text, &beside).with_context(|| format!("cannot write {}", scene.name))?;
        self.add(scene.name, text.into_bytes());
        // The scene is listed before what it names.
        self.files[position..].rotate_right(1);
        Ok(())
    }

    /// Name in the output folder of a file that a scene names. A file has one name in all scenes, and
    /// takes the place of no other: none of this run, none that another command writes, none that is
    /// there.
    fn attach(&mut self, file: &str, text: &str) -> String {
        let stem = table_stem(file);
        let is_same = |known: &&AttachedFile| known.stem == stem && known.text == text;
        if let Some(known) = self.attached.iter().find(is_same) {
            return known.name.clone();
        }
        let folder = self.folder().to_owned();
        let is_free = |name: &str| {
            !TABLES.iter().any(|table| table.eq_ignore_ascii_case(name))
                && is_missing_or_same(&folder.join(name), text)
        };
        let name = format!("{}{TABLE}", self.names.take_stem(&stem, &[TABLE], is_free));
        self.push(&name, text.as_bytes().to_owned());
        self.attached.push(AttachedFile { stem, text: text.to_owned(), name: name.clone() });
        name
    }
}

/// Ending of every directivity table, so that it has the name of no file of another kind.
const TABLE: &str = ".csv";

/// Longest stem of a table's name, bytes: with a number and its ending it keeps within the 255 that file
/// systems take.
const STEM_MAX: usize = 200;

/// `a` of `../tables/a.csv`, whatever system the name was written on; never hidden.
fn table_stem(file: &str) -> String {
    let name = file.rsplit(['/', '\\', ':']).next().unwrap_or_default().trim_start_matches('.');
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem).trim();
    let stem = &stem[..stem.floor_char_boundary(STEM_MAX)];
    if stem.is_empty() { "table".to_owned() } else { stem.to_owned() }
}

/// Whether a place is free for a file of this text: with no file there, or this very file.
fn is_missing_or_same(path: &Path, text: &str) -> bool {
    match path.symlink_metadata() {
        Ok(about) => {
            about.is_file()
                && about.len() == text.len() as u64
                && std::fs::read(path).is_ok_and(|bytes| bytes == text.as_bytes())
        }
        Err(_) => true,
    }
}

/// Lines as a comment of a scene, with an empty line after them.
fn commented(lines: &[String]) -> String {
    let lines = lines.iter().map(|line| format!("# {}\n", foreign::visible(line)));
    let lines: String = lines.collect();
    if lines.is_empty() { lines } else { lines + "\n" }
}

/// Whether every command reads a text that is to be written.
///
/// # Errors
/// Why it would be refused.
pub(crate) fn is_scene(text: &str, attachments: &dyn Attachments) -> Result<()> {
    if SIZE_MAX < text.len() as u64 {
        bail!("the scene that was made is larger than 1 MiB");
    }
    let Err(problems) = Scene::parse(text, attachments) else { return Ok(()) };
    let is_error = |problem: &&Problem| problem.severity == Severity::Error;
    let first = problems.iter().find(is_error).map_or("", |problem| &problem.message);
    bail!("the scene that was made does not hold: {first}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_keep_the_stem_of_their_name() {
        for (file, stem) in [
            ("a.csv", "a"),
            ("../tables/a.b.csv", "a.b"),
            (r"C:\tables\a.txt", "a"),
            ("/a", "a"),
            ("t/.earline-1.part", "earline-1"),
            ("...", "table"),
            ("a/", "table"),
        ] {
            assert_eq!(table_stem(file), stem, "{file}");
        }
    }

    #[test]
    fn comments_are_comments_to_their_last_character() {
        let lines = ["one\ntwo = 2".to_owned(), "\u{1b}[2J".to_owned()];
        assert_eq!(commented(&lines), "# one\u{fffd}two = 2\n# \u{fffd}[2J\n\n");
        assert_eq!(commented(&[]), "");
    }
}
