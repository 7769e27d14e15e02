//! A sign of life on stderr for work that takes more than half a second.

use crate::io::terminal;
use crate::io::wait::{clock, wait};
use earline_engine::progress::{self, Stage as Work};
use indicatif::{ProgressBar, ProgressStyle};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Shorter work needs no sign.
const PATIENCE: Duration = Duration::from_millis(500);

/// Longer work is not begun unless somebody says that they will wait.
const LONGEST: Duration = Duration::from_mins(1);

/// From this time on the wait is told beforehand.
const TOLD_FROM: Duration = Duration::from_secs(10);

/// Time between the lines of a log.
const BETWEEN_LINES: Duration = Duration::from_mins(1);

/// Time between the steps of the turning mark.
const TICK: Duration = Duration::from_millis(120);

/// Says what is being done until it is dropped.
#[derive(Debug)]
pub(crate) struct Progress {
    stages: Option<Sender<Stage>>,
    shower: Option<JoinHandle<()>>,
    /// Work done of the present stage of a simulation.
    done: Mutex<Arc<AtomicU64>>,
    waiting: Waiting,
}

/// How a run is waited for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Waiting {
    /// Nothing is said on stderr but errors.
    pub(crate) quiet: bool,
    /// Also what is predicted to take long is begun.
    pub(crate) patient: bool,
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
    /// Begins with a first stage. On a terminal it says what is being done, unless the answer is for a
    /// `script`; elsewhere, once a minute, how far it is.
    pub(crate) fn start(stage: &'static str, waiting: Waiting, script: bool) -> Self {
        let is_watched = terminal::stderr_is_watched();
        if waiting.quiet || (is_watched && script) {
            return Self { stages: None, shower: None, done: Mutex::default(), waiting };
        }
        let (sender, receiver) = channel();
        let first = Stage { name: stage, counted: None };
        let show = if is_watched { show } else { log };
        let shower = std::thread::spawn(move || show(first, &receiver));
        Self { stages: Some(sender), shower: Some(shower), done: Mutex::default(), waiting }
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
            Work::WaveField => *self.done() = self.counted("solving frequencies", work).done,
        }
    }

    fn accepts(&self, predicted_s: f64) -> bool {
        let here = clock(predicted_s);
        let is_begun = self.waiting.patient || here <= LONGEST;
        if is_begun && TOLD_FROM <= here && !self.waiting.quiet {
            terminal::note(&format!("Solving the wave field will take {}.", wait(predicted_s)));
        }
        is_begun
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

/// For a log, says once a minute how far the latest stage is, until the sender is gone.
fn log(first: Stage, stages: &Receiver<Stage>) {
    let mut latest = (first, Instant::now());
    let mut next = Instant::now() + BETWEEN_LINES;
    loop {
        match stages.recv_timeout(next.saturating_duration_since(Instant::now())) {
            Ok(stage) => latest = (stage, Instant::now()),
            Err(RecvTimeoutError::Timeout) => {
                terminal::note(&line(&latest.0, latest.1.elapsed()));
                next = Instant::now() + BETWEEN_LINES;
            }
            Err(RecvTimeoutError::Disconnected) => return,
        }
    }
}

/// How far a stage is after some time.
fn line(stage: &Stage, elapsed: Duration) -> String {
    let Some(Counted { done, total: Some(total) }) = &stage.counted else {
        return format!("Still {} ({} s so far).", stage.name, elapsed.as_secs());
    };
    let share = done.load(Ordering::Relaxed) as f64 / (*total).max(1) as f64;
    let to_go = elapsed.as_secs_f64() * (1.0 - share) / share;
    let to_go = Duration::try_from_secs_f64(to_go)
        .map_or_else(|_| String::new(), |left| format!(", about {} s to go", left.as_secs()));
    format!("Still {}: {:.0} %{to_go}.", stage.name, 100.0 * share)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_a_log_says_how_far_it_is() {
        let counted = Counted { done: Arc::new(AtomicU64::new(25)), total: Some(100) };
        let stage = Stage { name: "following rays", counted: Some(counted) };
        let said = line(&stage, Duration::from_mins(1));
        assert_eq!(said, "Still following rays: 25 %, about 180 s to go.");
        let begun = Stage { name: "drawing", counted: None };
        assert_eq!(line(&begun, Duration::from_mins(2)), "Still drawing (120 s so far).");
        let nothing = Counted { done: Arc::default(), total: Some(100) };
        let stage = Stage { name: "following rays", counted: Some(nothing) };
        assert_eq!(line(&stage, Duration::from_mins(1)), "Still following rays: 0 %.");
    }
}
