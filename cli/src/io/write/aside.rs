//! Every file is written beside its place first; when all are there they are renamed into it.

use super::Stop;
use super::stop::Unfinished;
use crate::format::foreign;
use anyhow::{Context, Result};
use std::io::Write;
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

/// Write all files into a folder, which is made if it is missing.
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
    let mut unfinished = stop.unfinished();
    if written.is_ok() {
        unfinished.files.clear();
        unfinished.folders.clear();
    } else {
        unfinished.clear();
    }
    written
}

fn stage_and_place(
    folder: &Path,
    outputs: &[OutputFile],
    existing: Existing,
    stop: &Stop,
) -> Result<()> {
    stop.unfinished()
        .make_folder(folder)
        .with_context(|| format!("cannot make the folder {}", foreign::path(folder)))?;
    let mut staged = Vec::new();
    for output in outputs {
        let place = folder.join(&output.name);
        // Its own folder; a name that can be no file fails where it is put into place.
        let home = place.parent().unwrap_or(folder);
        let staged_there = stop.unfinished().make_folder(home);
        let aside = staged_there
            .and_then(|()| stage(home, output, stop))
            .with_context(|| format!("cannot write {}", foreign::path(&place)))?;
        staged.push((aside, place));
    }
    // Held over all renames, so that Ctrl-C comes before the set or after it.
    let mut unfinished = stop.unfinished();
    for (aside, place) in staged {
        place_one(aside, &place, existing, &mut unfinished)
            .with_context(|| format!("cannot put {} into place", foreign::path(&place)))?;
    }
    Ok(())
}

fn stage(folder: &Path, output: &OutputFile, stop: &Stop) -> std::io::Result<TempPath> {
    let mut file = {
        // One step under the lock, so that no file exists that Ctrl-C does not know of.
        let mut unfinished = stop.unfinished();
        let mut builder = tempfile::Builder::new();
        builder.prefix(".earline-").suffix(".part");
        // As any new file: what the user's mask leaves of read and write for all.
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        let file = builder.tempfile_in(folder)?;
        unfinished.files.push(file.path().to_owned());
        file
    };
    file.write_all(&output.bytes)?;
    file.as_file().sync_all()?;
    Ok(file.into_temp_path())
}

fn place_one(
    aside: TempPath,
    place: &Path,
    existing: Existing,
    unfinished: &mut Unfinished,
) -> std::io::Result<()> {
    let name: PathBuf = aside.to_path_buf();
    let placed = match existing {
        Existing::Replace => aside.persist(place),
        Existing::Keep => aside.persist_noclobber(place),
    };
    placed.map_err(|failed| failed.error)?;
    unfinished.files.retain(|file| *file != name);
    Ok(())
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
        stop.unfinished().make_folder(&folder).unwrap();
        let _aside = stage(&folder, &output("x", "half"), &stop).unwrap();
        assert_eq!(names(&folder).len(), 1);
        stop.unfinished().clear();
        assert!(!folder.exists());
    }
}
