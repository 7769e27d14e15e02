//! All that one run writes.

use super::aside::{Existing, OutputFile, try_out, write_each};
use super::scene_file::AttachedFile;
use super::{FileNames, Stop};
use crate::format::foreign;
use crate::io::exit::Failure;
use anyhow::{Context, Result};
use std::io;
use std::path::{Path, PathBuf};

/// The files of a run, under names that are each given once, and the folder they go to.
#[derive(Debug)]
pub(crate) struct OutputSet {
    folder: PathBuf,
    pub(super) names: FileNames,
    pub(super) files: Vec<OutputFile>,
    /// Files that its scenes name.
    pub(super) attached: Vec<AttachedFile>,
}

impl OutputSet {
    /// None yet, for a folder that need not be there.
    pub(crate) fn new(folder: impl Into<PathBuf>) -> Self {
        Self {
            folder: folder.into(),
            names: FileNames::default(),
            files: Vec::new(),
            attached: Vec::new(),
        }
    }

    /// Finds out, before anything is computed, whether files can be written there; leaves nothing. `remedy`
    /// says what would be right where a file is in the way.
    ///
    /// # Errors
    /// They cannot.
    pub(crate) fn try_out(&self, remedy: &str, stop: &Stop) -> Result<(), Failure> {
        let folder = &self.folder;
        let there = folder.ancestors().find(|part| part.symlink_metadata().is_ok());
        if let Some(there) = there.filter(|there| !there.is_dir()) {
            let message =
                format!("`{}` is a file, so no folder can be there", foreign::path(there));
            return Err(Failure::usage(&message, remedy));
        }
        let shown = foreign::path(folder);
        match try_out(folder, stop) {
            Err(error) if error.kind() == io::ErrorKind::InvalidFilename => {
                Err(Failure::usage(&format!("`{shown}` is no name for a folder"), remedy))
            }
            tried => Ok(tried.with_context(|| format!("cannot write into {shown}"))?),
        }
    }

    /// Refuses to replace what a run reads by what it writes.
    ///
    /// # Errors
    /// One of these names in the folder is that of the file that is read.
    pub(crate) fn spares(&self, input: &Path, names: &[String]) -> Result<(), Failure> {
        let input = input.canonicalize();
        let is_input = |name: &&String| {
            let place = self.folder.join(name).canonicalize();
            place.is_ok_and(|place| input.as_ref().is_ok_and(|input| *input == place))
        };
        match names.iter().find(is_input) {
            None => Ok(()),
            Some(name) => Err(Failure::usage(
                &format!(
                    "`{}` would be written over the scene it is made from",
                    foreign::visible(name)
                ),
                "name another folder with --out",
            )),
        }
    }

    /// Names for a run that reads this file: its own is taken where it lies in the folder.
    pub(crate) fn names_beside(&self, read: Option<&Path>) -> FileNames {
        let mut names = FileNames::default();
        let within = || {
            let read = read?.canonicalize().ok()?;
            Some(read.strip_prefix(self.folder.canonicalize().ok()?).ok()?.to_str()?.to_owned())
        };
        if let Some(name) = within() {
            names.take(&name);
        }
        names
    }

    /// One more file, numbered where its name is taken.
    pub(crate) fn add(&mut self, name: &str, bytes: Vec<u8>) {
        let name = self.names.take(name);
        self.push(&name, bytes);
    }

    /// One more file under a name that was given out.
    pub(super) fn push(&mut self, name: &str, bytes: Vec<u8>) {
        self.files.push(OutputFile { name: name.to_owned(), bytes });
    }

    /// More files, numbered where their names are taken.
    pub(crate) fn extend(&mut self, files: impl IntoIterator<Item = OutputFile>) {
        files.into_iter().for_each(|file| self.add(&file.name, file.bytes));
    }

    /// The folder.
    pub(crate) fn folder(&self) -> &Path {
        &self.folder
    }

    /// The files, in the order in which they came.
    pub(crate) fn files(&self) -> &[OutputFile] {
        &self.files
    }

    /// Writes all of them; older ones are replaced.
    ///
    /// # Errors
    /// When any of it fails; then no new file, half file or new empty folder is left, save for files
    /// already renamed into place, which are whole.
    pub(crate) fn write(&self, stop: &Stop) -> Result<()> {
        write_each(&self.folder, &self.files, Existing::Replace, stop)
    }

    /// Writes all of them where none of them is.
    ///
    /// # Errors
    /// As [`OutputSet::write`], and when there is one already.
    pub(crate) fn write_new(&self, stop: &Stop) -> Result<()> {
        write_each(&self.folder, &self.files, Existing::Keep, stop)
    }
}
