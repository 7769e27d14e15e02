//! What makes two sweeps the same: all that a run's figures depend on.

use earline_engine::scene::Attachments;
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// All that the runs of a sweep depend on; it stands at the head of each file of runs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Identity {
    /// Of the file.
    pub(crate) schema: String,
    /// Of the program.
    pub(crate) version: String,
    /// What is varied and how.
    pub(crate) factors: Vec<String>,
    /// How many draws, and their seed; `None` for every combination.
    pub(crate) draws: Option<(u32, u64)>,
    /// States, listeners and speakers, in the order of a run's rows.
    pub(crate) rows: Vec<String>,
    /// Figures, in the order of a row's values.
    pub(crate) figures: Vec<String>,
    /// Whatever else was set: order, window, limit, rays.
    pub(crate) settings: String,
    /// The text of the scene.
    pub(crate) scene: String,
    /// The files that it names, with their text.
    pub(crate) attachments: BTreeMap<String, String>,
}

/// Version of the file's form.
pub(crate) const SCHEMA: &str = "earline.sweep-runs/1";

impl Identity {
    /// What differs, in words; empty where nothing does.
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

/// Attachments that notes what was read.
pub(crate) struct Noting<'a> {
    inner: &'a dyn Attachments,
    read: RefCell<BTreeMap<String, String>>,
}

impl<'a> Noting<'a> {
    pub(crate) fn new(inner: &'a dyn Attachments) -> Self {
        Self { inner, read: RefCell::default() }
    }

    /// Every file read so far, with its text.
    pub(crate) fn into_read(self) -> BTreeMap<String, String> {
        self.read.into_inner()
    }
}

impl Attachments for Noting<'_> {
    fn read(&self, name: &str) -> Result<String, String> {
        let text = self.inner.read(name)?;
        self.read.borrow_mut().insert(name.to_owned(), text.clone());
        Ok(text)
    }
}
