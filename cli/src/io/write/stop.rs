//! Ctrl-C: clear away what is not finished, then end.

use crate::io::exit::STOPPED;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// What must go if the run is stopped now. Cloned into the signal's own thread.
#[derive(Debug, Clone, Default)]
pub(crate) struct Stop {
    unfinished: Arc<Mutex<Unfinished>>,
}

/// Files and folders that exist only until the run is done.
#[derive(Debug, Default)]
pub(super) struct Unfinished {
    /// Files written aside.
    pub(super) files: Vec<PathBuf>,
    /// Folders this run made, outermost first.
    pub(super) folders: Vec<PathBuf>,
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
    /// Remove every file, then the folders that are empty again.
    pub(super) fn clear(&mut self) {
        for file in self.files.drain(..) {
            let _ = std::fs::remove_file(file);
        }
        for folder in self.folders.drain(..).rev() {
            let _ = std::fs::remove_dir(folder);
        }
    }

    /// Make a folder and those above it that are missing, remembering which are new.
    pub(super) fn make_folder(&mut self, folder: &Path) -> std::io::Result<()> {
        let missing: Vec<&Path> =
            folder.ancestors().take_while(|f| !f.as_os_str().is_empty() && !f.exists()).collect();
        for new in missing.into_iter().rev() {
            match std::fs::create_dir(new) {
                Ok(()) => self.folders.push(new.to_owned()),
                // Another run was quicker.
                Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }
}
