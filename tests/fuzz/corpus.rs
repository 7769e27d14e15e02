//! Inputs to begin with.

use std::path::{Path, PathBuf};

/// Inputs by name.
#[derive(Default)]
pub(crate) struct Corpus(Vec<(String, Vec<u8>)>);

impl Corpus {
    /// With the files of a folder beside the two crates that have this ending.
    pub(crate) fn files(mut self, folder: &str, ending: &str) -> Self {
        let entries = std::fs::read_dir(project(folder)).unwrap();
        let mut paths: Vec<PathBuf> = entries
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|found| found == ending))
            .collect();
        paths.sort();
        assert!(!paths.is_empty(), "{folder} has no .{ending}");
        let input = |path: PathBuf| (path.display().to_string(), std::fs::read(&path).unwrap());
        self.0.extend(paths.into_iter().map(input));
        self
    }

    /// With the lines of a file.
    pub(crate) fn lines(mut self, file: &str) -> Self {
        let text = std::fs::read_to_string(project(file)).unwrap();
        self.0.extend(text.lines().map(|line| (line.to_owned(), line.as_bytes().to_vec())));
        self
    }

    /// Every input with its name.
    pub(super) fn inputs(&self) -> &[(String, Vec<u8>)] {
        &self.0
    }
}

fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}
