//! Ctrl-C: clear away what is not finished, then end.

use super::staging::{self, Staging};
use crate::io::exit::STOPPED;
use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// What must go if the run is stopped now. Cloned into the signal's own thread.
#[derive(Debug, Clone, Default)]
pub(crate) struct Stop {
    unfinished: Arc<Mutex<Unfinished>>,
}

/// What exists only until the run is done.
#[derive(Debug, Default)]
pub(super) struct Unfinished {
    /// Where files are written aside.
    staging: Option<Staging>,
    /// Folders this run made, outermost first.
    folders: Vec<PathBuf>,
}

impl Stop {
    /// Catch Ctrl-C, termination and hang-up from here on.
    ///
    /// # Errors
    /// When the handler cannot be set.
    pub(crate) fn watch(&self) -> Result<(), ctrlc::Error> {
        let stop = self.clone();
        ctrlc::set_handler(move || stop.clear_and_exit())
    }

    /// Only notes the first Ctrl-C, so that what was found so far can be kept; the next one ends the
    /// run as [`Stop::watch`] does. Setting the answer makes the next one that next one.
    ///
    /// # Errors
    /// When the handler cannot be set.
    pub(crate) fn watch_gently(&self) -> Result<Arc<AtomicBool>, ctrlc::Error> {
        let stop = self.clone();
        let asked = Arc::new(AtomicBool::new(false));
        let noted = asked.clone();
        ctrlc::set_handler(move || {
            if noted.swap(true, Ordering::Relaxed) {
                stop.clear_and_exit();
            }
        })?;
        Ok(asked)
    }

    /// Opens a file to go on with, or begins it, in a folder that is made where it is missing. Both stay
    /// whatever ends the run, so none of them comes without the other.
    ///
    /// # Errors
    /// It cannot be made.
    pub(crate) fn kept_file(&self, folder: &Path, path: &Path) -> io::Result<File> {
        let mut unfinished = self.unfinished();
        let begun = File::options().read(true).write(true).create(true).truncate(false).clone();
        let opened = unfinished.make_folder(folder).and_then(|()| begun.open(path));
        match opened {
            Ok(_) => unfinished.finish(),
            Err(_) => unfinished.clear(),
        }
        opened
    }

    /// Clears away what is unfinished and ends the run. The list is held until the process is gone: a set
    /// of files that is just being renamed is finished first, and no other thread makes a new file after.
    fn clear_and_exit(&self) -> ! {
        let mut unfinished = self.unfinished();
        unfinished.clear();
        std::process::exit(STOPPED.into())
    }

    /// The list, for as long as it is held nothing is cleared away.
    pub(super) fn unfinished(&self) -> MutexGuard<'_, Unfinished> {
        self.unfinished.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Unfinished {
    /// Removes what was written aside, then the new folders that are empty again.
    pub(super) fn clear(&mut self) {
        if let Some(staging) = self.staging.take() {
            staging.remove();
        }
        for folder in self.folders.drain(..).rev() {
            let _ = std::fs::remove_dir(folder);
        }
    }

    /// As [`Unfinished::clear`] once everything is in place: new folders stay.
    pub(super) fn finish(&mut self) {
        self.folders.clear();
        self.clear();
    }

    /// Makes a folder and those above it that are missing, remembering which are new.
    pub(super) fn make_folder(&mut self, folder: &Path) -> io::Result<()> {
        let missing: Vec<&Path> =
            folder.ancestors().take_while(|f| !f.as_os_str().is_empty() && !f.exists()).collect();
        for new in missing.into_iter().rev() {
            match std::fs::create_dir(new) {
                Ok(()) => self.folders.push(new.to_owned()),
                // Another run was quicker.
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }

    /// Makes an output folder with a place for files that are written aside. What ended runs left in it
    /// goes.
    pub(super) fn open(&mut self, folder: &Path) -> io::Result<()> {
        self.make_folder(folder)?;
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        staging::clear_ended(folder);
        self.staging = Some(Staging::new(folder)?);
        Ok(())
    }

    /// A new file written aside, and its path.
    pub(super) fn file(&mut self) -> io::Result<(File, PathBuf)> {
        self.staging.as_mut().ok_or_else(|| io::Error::from(io::ErrorKind::NotFound))?.file()
    }
}
