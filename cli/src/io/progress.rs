//! A sign of life on stderr for work that takes more than half a second.

use crate::io::terminal;
use earline_engine::progress::{self, Stage as Work};
use indicatif::{ProgressBar, ProgressStyle};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Shorter work needs no sign.
const PATIENCE: Duration = Duration::from_millis(500);

/// Time between the steps of the turning mark.
const TICK: Duration = Duration::from_millis(120);

/// Says what is being done until it is dropped.
#[derive(Debug)]
pub(crate) struct Progress {
    stages: Option<Sender<Stage>>,
    shower: Option<JoinHandle<()>>,
    /// Work done of the present stage of a simulation.
    done: Mutex<Arc<AtomicU64>>,
}

/// What is being done.
#[derive(Debug, Clone)]
struct Stage {
    name: &'static str,
    counted: Option<Counted>,
}

/// Work that is counted while it is done.
#[derive(Debug, Clone)]
pub(crate) struct Counted {
    done: Arc<AtomicU64>,
    /// How much there is; `None` where nobody knows before.
    total: Option<u64>,
}

impl Counted {
    /// So much more is done.
    pub(crate) fn add(&self, more: u64) {
        self.done.fetch_add(more, Ordering::Relaxed);
    }
}

impl Progress {
    /// Begins with a first stage. Says nothing when asked to be quiet or when nobody watches.
    pub(crate) fn start(stage: &'static str, quiet: bool) -> Self {
        if quiet || !terminal::stderr_is_watched() {
            return Self { stages: None, shower: None, done: Mutex::default() };
        }
        let (sender, receiver) = channel();
        let first = Stage { name: stage, counted: None };
        let shower = std::thread::spawn(move || show(first, &receiver));
        Self { stages: Some(sender), shower: Some(shower), done: Mutex::default() }
    }

    /// Goes on to the next stage.
    pub(crate) fn stage(&self, name: &'static str) {
        self.send(Stage { name, counted: None });
    }

    /// Goes on to a stage whose work is counted; with a `total` the time that it still takes is shown.
    pub(crate) fn counted(&self, name: &'static str, total: Option<u64>) -> Counted {
        let counted = Counted { done: Arc::default(), total };
        self.send(Stage { name, counted: Some(counted.clone()) });
        counted
    }

    /// The count of a simulation's present stage; a count is whole whoever held it last.
    fn done(&self) -> MutexGuard<'_, Arc<AtomicU64>> {
        self.done.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn send(&self, stage: Stage) {
        if let Some(stages) = &self.stages {
            // The thread that shows it can only be gone if it panicked; work goes on.
            let _ = stages.send(stage);
        }
    }
}

impl progress::Progress for Progress {
    fn begin(&self, stage: Work, work: Option<u64>) {
        match stage {
            Work::Images => self.stage("tracing"),
            Work::Rays => *self.done() = self.counted("following rays", work).done,
            Work::WaveField => self.stage("solving the modes"),
        }
    }

    fn advance(&self, work: u64) {
        self.done().fetch_add(work, Ordering::Relaxed);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.stages = None;
        if let Some(shower) = self.shower.take() {
            let _ = shower.join();
        }
    }
}

/// Waits, and only then shows the latest stage, until the sender is gone.
fn show(first: Stage, stages: &Receiver<Stage>) {
    let begun = Instant::now();
    let mut latest = first;
    loop {
        match stages.recv_timeout(PATIENCE.saturating_sub(begun.elapsed())) {
            Ok(stage) => latest = stage,
            Err(RecvTimeoutError::Timeout) => break,
            Err(RecvTimeoutError::Disconnected) => return,
        }
    }
    let bar = ProgressBar::new_spinner();
    dress(&bar, &latest);
    loop {
        if let Some(counted) = &latest.counted {
            bar.set_position(counted.done.load(Ordering::Relaxed));
        }
        bar.tick();
        match stages.recv_timeout(TICK) {
            Ok(stage) => {
                latest = stage;
                dress(&bar, &latest);
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => break,
        }
    }
    bar.finish_and_clear();
}

/// Gives the bar the words of a stage.
fn dress(bar: &ProgressBar, stage: &Stage) {
    let (words, total) = match &stage.counted {
        Some(Counted { total: Some(total), .. }) => (
            "{spinner} {msg}: {human_pos} of {human_len}, about {eta} to go ({elapsed} so far)",
            Some(*total),
        ),
        Some(_) => ("{spinner} {msg}: {human_pos} so far ({elapsed})", None),
        None => ("{spinner} {msg} ({elapsed})", None),
    };
    if let Ok(style) = ProgressStyle::with_template(words) {
        bar.set_style(style);
    }
    bar.reset();
    bar.set_length(total.unwrap_or(u64::MAX));
    bar.set_message(stage.name);
}
