//! Runs kept on the disk as they are done, so that whatever ends a sweep costs no more than the runs it
//! was at.
//!
//! One file for each shard: a line that identifies the sweep, then a line for each run, in the order
//! they were done. A line that was cut off when the machine or the program stopped is dropped, and its run
//! done again.

use super::identity::Identity;
use super::shard::Shard;
use super::sweep_table::Outcome;
use crate::format::foreign;
use crate::io::write::Stop;
use anyhow::{Context, Result};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs::{File, TryLockError};
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// The file of one shard, open for more runs.
#[derive(Debug)]
pub(crate) struct Journal {
    file: Mutex<File>,
    path: PathBuf,
}

/// Runs that earlier processes left in a folder.
#[derive(Debug, Default)]
pub(crate) struct CompletedRuns {
    /// The runs, by their number.
    pub(crate) runs: BTreeMap<usize, Outcome>,
    /// Lines that could not be read, other than one cut off at the end of a file.
    pub(crate) unreadable: usize,
    /// A file of another sweep, and its differences.
    pub(crate) foreign: Option<(PathBuf, Vec<&'static str>)>,
}

/// A run as a line of the file.
#[derive(Debug, Serialize, Deserialize)]
struct JournalLine {
    run: usize,
    #[serde(flatten)]
    outcome: Outcome,
}

impl CompletedRuns {
    /// Every run of this sweep that the files of its parts in a folder hold. `fits` is whether a run is one
    /// of this sweep and its values have the right number.
    ///
    /// # Errors
    /// A file that is there cannot be read.
    pub(crate) fn read(
        folder: &Path,
        identity: &Identity,
        fits: impl Fn(usize, &Outcome) -> bool,
    ) -> Result<Self> {
        let mut kept = Self::default();
        for path in files(folder)? {
            let bytes = std::fs::read(&path)
                .with_context(|| format!("cannot read {}", foreign::path(&path)))?;
            let whole = &bytes[..whole_lines(&bytes)];
            let mut lines = whole.split(|&byte| byte == b'\n').filter(|line| !line.is_empty());
            // A file that was cut off in its first line holds nothing.
            let Some(head) = lines.next() else { continue };
            let differences = match serde_json::from_slice::<Identity>(head) {
                Ok(found) => found.differences(identity),
                Err(_) => vec!["its first line"],
            };
            if !differences.is_empty() {
                kept.foreign.get_or_insert((path, differences));
                continue;
            }
            for line in lines {
                match serde_json::from_slice::<JournalLine>(line) {
                    Ok(JournalLine { run, outcome }) if fits(run, &outcome) => {
                        kept.runs.entry(run).or_insert(outcome);
                    }
                    _ => kept.unreadable += 1,
                }
            }
        }
        Ok(kept)
    }
}

/// Files of shards in a folder, in the order of their names; none where there is no folder.
fn files(folder: &Path) -> Result<Vec<PathBuf>> {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => {
            return Err(error).with_context(|| format!("cannot read {}", foreign::path(folder)));
        }
    };
    let mut files = Vec::new();
    for entry in entries {
        let entry = entry.with_context(|| format!("cannot read {}", foreign::path(folder)))?;
        if entry.file_name().to_str().is_some_and(Shard::keeps) {
            files.push(entry.path());
        }
    }
    files.sort();
    Ok(files)
}

/// Length of the whole lines of a file, bytes.
fn whole_lines(bytes: &[u8]) -> usize {
    bytes.iter().rposition(|&byte| byte == b'\n').map_or(0, |last| last + 1)
}

impl Journal {
    /// Opens the file of a shard, or begins it; what was cut off at its end goes. Nobody else can write
    /// to it while it is open.
    ///
    /// # Errors
    /// The file cannot be made or written, or another process is at this shard.
    pub(crate) fn open(
        folder: &Path,
        shard: Shard,
        identity: &Identity,
        stop: &Stop,
    ) -> Result<Self> {
        let path = folder.join(shard.file());
        let begun = || format!("cannot write {}", foreign::path(&path));
        let mut file = stop.kept_file(folder, &path).with_context(begun)?;
        // Some network disks know no locks; there two processes at one shard would do its runs twice.
        if let Err(TryLockError::WouldBlock) = file.try_lock() {
            anyhow::bail!("another run is at work on {}; wait for it to end", foreign::path(&path));
        }
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).with_context(begun)?;
        let whole = whole_lines(&bytes);
        file.set_len(whole as u64).with_context(begun)?;
        file.seek(SeekFrom::Start(whole as u64)).with_context(begun)?;
        if whole == 0 {
            let mut head = serde_json::to_vec(identity).with_context(begun)?;
            head.push(b'\n');
            file.write_all(&head).with_context(begun)?;
        }
        Ok(Self { file: Mutex::new(file), path })
    }

    /// Writes a run.
    ///
    /// # Errors
    /// The disk is full, or gone.
    pub(crate) fn keep(&self, run: usize, outcome: &Outcome) -> Result<()> {
        let kept = || format!("cannot write {}", foreign::path(&self.path));
        let line = JournalLine { run, outcome: outcome.clone() };
        let mut bytes = serde_json::to_vec(&line).with_context(kept)?;
        bytes.push(b'\n');
        let mut file = self.file.lock().unwrap_or_else(PoisonError::into_inner);
        file.write_all(&bytes).with_context(kept)
    }

    /// Removes the file of a shard, if there is one.
    ///
    /// # Errors
    /// It is there and cannot be removed.
    pub(crate) fn remove(folder: &Path, shard: Shard) -> Result<()> {
        let path = folder.join(shard.file());
        match std::fs::remove_file(&path) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                Err(error).with_context(|| format!("cannot remove {}", foreign::path(&path)))
            }
            _ => Ok(()),
        }
    }

    /// Makes sure that all of it is on the disk.
    ///
    /// # Errors
    /// It is not.
    pub(crate) fn finish(&self) -> Result<()> {
        let file = self.file.lock().unwrap_or_else(PoisonError::into_inner);
        file.sync_all().with_context(|| format!("cannot write {}", foreign::path(&self.path)))
    }
}
