//! A sign of life on stderr for work that takes more than half a second.

use crate::terminal;
use indicatif::{ProgressBar, ProgressStyle};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// Shorter work needs no sign.
const PATIENCE: Duration = Duration::from_millis(500);

/// Time between the steps of the turning mark.
const TICK: Duration = Duration::from_millis(120);

/// Says what is being done until it is dropped.
#[derive(Debug)]
pub(crate) struct Progress {
    stages: Option<Sender<&'static str>>,
    shower: Option<JoinHandle<()>>,
}

impl Progress {
    /// Begins with a first stage. Says nothing when asked to be quiet or when nobody watches.
    pub(crate) fn start(stage: &'static str, quiet: bool) -> Self {
        if quiet || !terminal::stderr_is_watched() {
            return Self { stages: None, shower: None };
        }
        let (sender, receiver) = channel();
        let shower = std::thread::spawn(move || show(stage, &receiver));
        Self { stages: Some(sender), shower: Some(shower) }
    }

    /// Goes on to the next stage.
    pub(crate) fn stage(&self, stage: &'static str) {
        if let Some(stages) = &self.stages {
            // The thread that shows it can only be gone if it panicked; work goes on.
            let _ = stages.send(stage);
        }
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
fn show(first: &'static str, stages: &Receiver<&'static str>) {
    let begun = std::time::Instant::now();
    let mut latest = first;
    loop {
        match stages.recv_timeout(PATIENCE.saturating_sub(begun.elapsed())) {
            Ok(stage) => latest = stage,
            Err(RecvTimeoutError::Timeout) => break,
            Err(RecvTimeoutError::Disconnected) => return,
        }
    }
    let bar = ProgressBar::new_spinner();
    if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} ({elapsed})") {
        bar.set_style(style);
    }
    bar.set_message(latest);
    bar.enable_steady_tick(TICK);
    while let Ok(stage) = stages.recv() {
        bar.set_message(stage);
    }
    bar.finish_and_clear();
}
