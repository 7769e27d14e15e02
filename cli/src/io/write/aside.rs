//! Every file is written beside its place first; when all are there they are renamed into it.

use super::Stop;
use crate::format::foreign;
use anyhow::{Context, Result};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::TempPath;

/// A file to be: its name within the output folder, after that of a folder in it where it has one of
/// its own, and all its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct OutputFile {
    /// File name.
    pub(crate) name: String,
    /// Content.
    pub(crate) bytes: Vec<u8>,
}

/// What becomes of a file that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Existing {
    /// The new one takes its place.
    Replace,
    /// It stays, and writing fails.
    Keep,
}

/// A folder stands where a file should be.
#[derive(Debug, thiserror::Error)]
#[error("{}: there is a folder of that name", cannot_write(.0))]
pub(crate) struct FolderInTheWay(PathBuf);

/// Writes all files into a folder, which is made if it is missing.
///
/// # Errors
/// When any of it fails; then no new file, half file or new empty folder is left, save for files
/// already renamed into place, which are whole.
pub(super) fn write_each(
    folder: &Path,
    outputs: &[OutputFile],
    existing: Existing,
    stop: &Stop,
) -> Result<()> {
    let written = stage_and_place(folder, outputs, existing, stop);
    if written.is_err() {
        stop.unfinished().clear();
    }
    written
}

/// Tries out whether files can be written into a folder, and leaves nothing.
///
/// # Errors
/// They cannot.
pub(super) fn try_out(folder: &Path, stop: &Stop) -> io::Result<()> {
    let mut unfinished = stop.unfinished();
    let opened = unfinished.open(folder);
    unfinished.clear();
    opened
}

fn stage_and_place(
    folder: &Path,
    outputs: &[OutputFile],
    existing: Existing,
    stop: &Stop,
) -> Result<()> {
    stop.unfinished().open(folder).with_context(|| cannot_write(folder))?;
    let mut staged = Vec::new();
    for output in outputs {
        let place = folder.join(&output.name);
        let aside = stage(output, stop).with_context(|| cannot_write(&place))?;
        staged.push((aside, place));
    }
    // Held over all renames, so that Ctrl-C comes before the set or after it.
    let mut unfinished = stop.unfinished();
    for (_, place) in &staged {
        if place.symlink_metadata().is_ok_and(|about| about.is_dir()) {
            return Err(FolderInTheWay(place.clone()).into());
        }
        let home = place.parent().unwrap_or(folder);
        unfinished.make_folder(home).with_context(|| cannot_write(place))?;
    }
    for (aside, place) in staged {
        place_one(&aside, &place, existing).with_context(|| cannot_write(&place))?;
    }
    unfinished.finish();
    Ok(())
}

fn cannot_write(place: &Path) -> String {
    format!("cannot write {}", foreign::path(place))
}

fn stage(output: &OutputFile, stop: &Stop) -> io::Result<PathBuf> {
    // Made under the lock, so that no file exists that Ctrl-C does not know of.
    let (mut file, path) = stop.unfinished().file()?;
    file.write_all(&output.bytes)?;
    file.sync_all()?;
    Ok(path)
}

fn place_one(aside: &Path, place: &Path, existing: Existing) -> io::Result<()> {
    match existing {
        Existing::Replace => std::fs::rename(aside, place),
        Existing::Keep => {
            let aside = TempPath::try_from_path(aside)?;
            aside.persist_noclobber(place).map_err(|failed| failed.error)
        }
    }
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a failing file system fails the test")]
    use super::*;

    fn write_all(folder: &Path, outputs: &[OutputFile], stop: &Stop) -> Result<()> {
        write_each(folder, outputs, Existing::Replace, stop)
    }

    fn output(name: &str, text: &str) -> OutputFile {
        OutputFile { name: name.into(), bytes: text.into() }
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn makes_the_folder_and_replaces_old_files_whole() {
        let home = tempfile::tempdir().unwrap();
        let folder = home.path().join("a/b");
        let stop = Stop::default();
        write_all(&folder, &[output("x", "a long first text"), output("y", "2")], &stop).unwrap();
        write_all(&folder, &[output("x", "short")], &stop).unwrap();
        assert_eq!(std::fs::read_to_string(folder.join("x")).unwrap(), "short");
        assert_eq!(names(&folder), ["x", "y"]);
    }

    #[test]
    fn files_may_have_a_folder_of_their_own() {
        let home = tempfile::tempdir().unwrap();
        let stop = Stop::default();
        write_all(home.path(), &[output("x", "1"), output("own/y", "2")], &stop).unwrap();
        assert_eq!(
            (names(home.path()), names(&home.path().join("own"))),
            (vec!["own".into(), "x".into()], vec!["y".into()])
        );
    }

    #[test]
    fn a_file_that_is_kept_stays_as_it_was() {
        let home = tempfile::tempdir().unwrap();
        let stop = Stop::default();
        let keep = |text| write_each(home.path(), &[output("x", text)], Existing::Keep, &stop);
        keep("first").unwrap();
        let error = keep("second").unwrap_err();
        let cause = error.root_cause().downcast_ref::<std::io::Error>().unwrap();
        assert_eq!(cause.kind(), std::io::ErrorKind::AlreadyExists);
        assert_eq!(std::fs::read_to_string(home.path().join("x")).unwrap(), "first");
        assert_eq!(names(home.path()), ["x"]);
    }

    /// A name that cannot be a file makes the set fail: nothing of it is left, nor the folder.
    #[test]
    fn a_failure_leaves_nothing() {
        let home = tempfile::tempdir().unwrap();
        let folder = home.path().join("new");
        let stop = Stop::default();
        let taken = home.path().join("old");
        std::fs::create_dir_all(taken.join("x")).unwrap();
        assert!(write_all(&taken, &[output("x", "1"), output("y", "2")], &stop).is_err());
        assert_eq!(names(&taken), ["x"]);
        assert!(
            write_all(&folder, &[output("no\0name", "1"), output("own/x", "1")], &stop).is_err()
        );
        assert!(!folder.exists());
    }

    /// What Ctrl-C does in the middle of a set.
    #[test]
    fn stopping_clears_what_is_unfinished() {
        let home = tempfile::tempdir().unwrap();
        let folder = home.path().join("new");
        let stop = Stop::default();
        stop.unfinished().open(&folder).unwrap();
        let aside = stage(&output("x", "half"), &stop).unwrap();
        assert_eq!(std::fs::read_to_string(aside).unwrap(), "half");
        stop.unfinished().clear();
        assert!(!folder.exists());
    }

    #[test]
    fn trying_out_leaves_nothing() {
        let home = tempfile::tempdir().unwrap();
        let stop = Stop::default();
        try_out(&home.path().join("a/b"), &stop).unwrap();
        assert!(names(home.path()).is_empty());
        std::fs::write(home.path().join("file"), "").unwrap();
        assert!(try_out(&home.path().join("file/b"), &stop).is_err());
        assert_eq!(names(home.path()), ["file"]);
    }
}
