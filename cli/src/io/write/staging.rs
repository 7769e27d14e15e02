//! The folder within the output folder in which files are written before they are put into place.
//!
//! A run that is killed outright leaves it. The run holds a file in it locked for as long as it lives, and
//! the system lets go of the lock however it ends; so whoever can lock that file may clear the folder away.

use std::collections::hash_map::RandomState;
use std::fs::{File, TryLockError};
use std::hash::{BuildHasher, Hasher};
use std::io;
use std::path::{Path, PathBuf};

/// How the name of such a folder begins and ends; sixteen hexadecimal digits are between.
const AFFIXES: [&str; 2] = [".earline-", ".part"];

/// The file that is locked; all others are numbers.
const LOCK: &str = "lock";

/// So often another name is tried where someone was quicker.
const TRIES: usize = 20;

/// A folder for files that are not in place yet.
#[derive(Debug)]
pub(super) struct Staging {
    path: PathBuf,
    files: usize,
    /// Kept open and locked.
    lock: File,
}

impl Staging {
    /// Makes one in a folder that is there.
    ///
    /// # Errors
    /// Nothing can be written there.
    pub(super) fn new(home: &Path) -> io::Result<Self> {
        let mut quicker = io::ErrorKind::AlreadyExists.into();
        for _ in 0..TRIES {
            let [begin, end] = AFFIXES;
            // Another number in every process and each time.
            let token = RandomState::new().build_hasher().finish();
            let path = home.join(format!("{begin}{token:016x}{end}"));
            std::fs::create_dir(&path)?;
            match locked(&path) {
                Ok(Some(lock)) => return Ok(Self { path, files: 0, lock }),
                // Another run took this folder, not locked yet, for one that was left.
                Ok(None) => {}
                Err(error) if error.kind() == io::ErrorKind::NotFound => quicker = error,
                Err(error) => {
                    remove(&path);
                    return Err(error);
                }
            }
        }
        Err(quicker)
    }

    /// A new file in it, and its path.
    ///
    /// # Errors
    /// It cannot be made.
    pub(super) fn file(&mut self) -> io::Result<(File, PathBuf)> {
        let path = self.path.join(self.files.to_string());
        self.files += 1;
        Ok((File::create_new(&path)?, path))
    }

    /// Removes it with all that is in it.
    pub(super) fn remove(self) {
        let Self { path, lock, .. } = self;
        // Some systems keep a file that is open.
        drop(lock);
        remove(&path);
    }
}

/// Makes and locks the file that says that a run lives. `None` where another run is about to remove it.
fn locked(folder: &Path) -> io::Result<Option<File>> {
    let path = folder.join(LOCK);
    let lock = File::create_new(&path)?;
    match lock.try_lock() {
        Err(TryLockError::WouldBlock) => Ok(None),
        // Some network disks know no locks: there nothing is ever cleared away.
        Ok(()) | Err(TryLockError::Error(_)) => Ok(path.exists().then_some(lock)),
    }
}

/// Clears away what runs that have ended left in a folder, and nothing else.
pub(super) fn clear_ended(home: &Path) {
    for entry in std::fs::read_dir(home).into_iter().flatten().flatten() {
        let is_folder = entry.file_type().is_ok_and(|kind| kind.is_dir());
        if is_folder && entry.file_name().to_str().is_some_and(is_ours) {
            clear_if_ended(&entry.path());
        }
    }
}

fn is_ours(name: &str) -> bool {
    let [begin, end] = AFFIXES;
    let token = name.strip_prefix(begin).and_then(|rest| rest.strip_suffix(end));
    let is_digit = |byte: u8| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte);
    token.is_some_and(|token| token.len() == 16 && token.bytes().all(is_digit))
}

fn clear_if_ended(folder: &Path) {
    let path = folder.join(LOCK);
    match path.symlink_metadata() {
        Ok(about) if about.is_file() => {
            let Ok(lock) = File::options().read(true).write(true).open(&path) else { return };
            if lock.try_lock().is_ok() {
                remove(folder);
                drop(lock);
            }
        }
        Ok(_) => {}
        // Killed before it could lock anything, or another run that is just clearing it.
        Err(_) => drop(std::fs::remove_dir(folder)),
    }
}

/// Removes the files that are ours, the lock last, and the folder if nothing else is in it.
fn remove(folder: &Path) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        let is_number = |name: &str| name.bytes().all(|byte| byte.is_ascii_digit());
        if is_file && entry.file_name().to_str().is_some_and(is_number) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
    let _ = std::fs::remove_file(folder.join(LOCK));
    let _ = std::fs::remove_dir(folder);
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a failing file system fails the test")]
    use super::*;
    use std::io::Write;

    fn count(folder: &Path) -> usize {
        std::fs::read_dir(folder).unwrap().count()
    }

    /// As a run leaves it that is killed at each step of the way.
    #[test]
    fn what_an_ended_run_left_goes() {
        let home = tempfile::tempdir().unwrap();
        let left = |number: usize| home.path().join(format!(".earline-{number:016x}.part"));
        std::fs::create_dir(left(1)).unwrap();
        for number in [2, 3] {
            std::fs::create_dir(left(number)).unwrap();
            std::fs::write(left(number).join(LOCK), "").unwrap();
        }
        std::fs::write(left(3).join("0"), "half").unwrap();
        std::fs::write(left(3).join("12"), "whole").unwrap();
        clear_ended(home.path());
        assert_eq!(count(home.path()), 0);
    }

    #[test]
    fn what_a_living_run_has_stays() {
        let home = tempfile::tempdir().unwrap();
        let mut staging = Staging::new(home.path()).unwrap();
        let (mut file, path) = staging.file().unwrap();
        file.write_all(b"half").unwrap();
        clear_ended(home.path());
        assert_eq!(std::fs::read(&path).unwrap(), b"half");
        // As if it ended without a word.
        drop(staging.lock);
        clear_ended(home.path());
        assert_eq!(count(home.path()), 0);
    }

    /// Things of others that are called alike, or that lie in a folder of ours.
    #[test]
    fn what_is_not_ours_stays() {
        let home = tempfile::tempdir().unwrap();
        let ours = home.path().join(".earline-00000000000000ab.part");
        let others = [
            home.path().join(".earline-mine.part"),
            home.path().join(".earline-00000000000000AB.part"),
            home.path().join(".earline-00000000000000ab.part.d"),
        ];
        for folder in others.iter().chain([&ours]) {
            std::fs::create_dir(folder).unwrap();
            std::fs::write(folder.join(LOCK), "").unwrap();
            std::fs::write(folder.join("0"), "").unwrap();
        }
        std::fs::create_dir(ours.join("1")).unwrap();
        std::fs::write(ours.join("note"), "").unwrap();
        std::fs::write(home.path().join(".earline-00000000000000ac.part"), "a file").unwrap();
        clear_ended(home.path());
        assert!(others.iter().all(|folder| count(folder) == 2));
        assert_eq!(count(&ours), 2);
        assert_eq!(count(home.path()), 5);
    }

    /// Runs that begin and end in one folder at once, while each clears what ended ones left, do not
    /// take away each other's files.
    #[test]
    fn runs_in_one_folder_do_not_meet() {
        let home = tempfile::tempdir().unwrap();
        let run = || {
            for number in 0..100 {
                clear_ended(home.path());
                let mut staging = Staging::new(home.path()).unwrap();
                let (mut file, path) = staging.file().unwrap();
                file.write_all(b"whole").unwrap();
                assert_eq!(std::fs::read(&path).unwrap(), b"whole");
                if number % 2 == 0 { staging.remove() } else { drop(staging) }
            }
        };
        std::thread::scope(|scope| (0..4).for_each(|_| drop(scope.spawn(run))));
        clear_ended(home.path());
        assert_eq!(count(home.path()), 0);
    }
}
