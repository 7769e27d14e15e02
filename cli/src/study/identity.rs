//! Identity of a sweep: all that a run's figures depend on.

use earline_engine::scene::Attachments;
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// All that the runs of a sweep depend on; it stands at the head of each file of runs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Identity {
    /// Version of the file's form.
    pub(crate) schema: String,
    /// Version of the program.
    pub(crate) version: String,
    /// Factors with their levels.
    pub(crate) factors: Vec<String>,
    /// Number of draws and their seed; `None` for every combination.
    pub(crate) draws: Option<(u32, u64)>,
    /// State, speaker and listener of each row of a run.
    pub(crate) rows: Vec<String>,
    /// Figures of a row, in order.
    pub(crate) figures: Vec<String>,
    /// All other settings: order, window, limit, rays.
    pub(crate) settings: String,
    /// Text of the scene.
    pub(crate) scene: String,
    /// Files that it names, with their text.
    pub(crate) attachments: BTreeMap<String, String>,
}

/// Version of the file's form.
pub(crate) const SCHEMA: &str = "earline.sweep-runs/1";

impl Identity {
    /// Differences in words; empty where there are none.
    pub(crate) fn differences(&self, other: &Self) -> Vec<&'static str> {
        let differs = [
            (self.schema != other.schema || self.version != other.version, "the program's version"),
            (self.scene != other.scene, "the scene file"),
            (self.attachments != other.attachments, "a file the scene names"),
            (self.factors != other.factors, "what is varied"),
            (self.draws != other.draws, "the draws or their seed"),
            (self.rows != other.rows, "the variants, listeners or speakers"),
            (self.figures != other.figures, "the figures"),
            (self.settings != other.settings, "the order, window, limit, rays or seed"),
        ];
        differs.into_iter().filter_map(|(differs, what)| differs.then_some(what)).collect()
    }
}

/// Attachments that keep what was read.
pub(crate) struct RecordingAttachments<'a> {
    inner: &'a dyn Attachments,
    read: RefCell<BTreeMap<String, String>>,
}

impl<'a> RecordingAttachments<'a> {
    pub(crate) fn new(inner: &'a dyn Attachments) -> Self {
        Self { inner, read: RefCell::default() }
    }

    /// Every file read so far, with its text.
    pub(crate) fn into_read(self) -> BTreeMap<String, String> {
        self.read.into_inner()
    }
}

impl Attachments for RecordingAttachments<'_> {
    fn read(&self, name: &str) -> Result<String, String> {
        let text = self.inner.read(name)?;
        self.read.borrow_mut().insert(name.to_owned(), text.clone());
        Ok(text)
    }
}
