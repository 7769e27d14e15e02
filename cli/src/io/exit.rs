//! How a run can end, and the exit code for each.

use super::wait::wait;
use super::write::FolderInTheWay;
use crate::format::foreign;
use earline_engine::simulate::SimulationError;
use earline_engine::wave_field::WaveFieldError;
use std::io;
use std::process::ExitCode;

/// The exit code of a run stopped with Ctrl-C, as shells count it.
pub(crate) const STOPPED: u8 = 130;

/// A run that did what was asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Done {
    /// Exit code 0.
    Well,
    /// The asked-for limit was not met: exit code 3.
    LimitNotMet,
}

/// Why a run ended early.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The input or the way it was asked for is wrong; nothing was written. Exit code 2.
    /// Holds what to show, complete.
    Input(String),
    /// Stopped with Ctrl-C before there was anything to give; nothing was written. Exit code 130.
    Stopped,
    /// Anything else. Exit code 1.
    Other(anyhow::Error),
}

impl Done {
    /// The exit code.
    pub(crate) fn code(self) -> ExitCode {
        match self {
            Self::Well => ExitCode::SUCCESS,
            Self::LimitNotMet => ExitCode::from(3),
        }
    }
}

impl Failure {
    /// A mistake in how the program was called, with what would be right.
    pub(crate) fn usage(message: &str, remedy: &str) -> Self {
        let [message, remedy] = [message, remedy].map(foreign::visible);
        Self::Input(format!("error: {message}\n  = help: {remedy}"))
    }

    /// Work that would take one processor so many seconds, which nobody said they would wait for.
    pub(crate) fn too_long(predicted_s: f64) -> Self {
        let wait = wait(predicted_s);
        Self::usage(
            &format!("this would take {wait}: the room is large, or its sound lasts long"),
            "give --patient to wait for it, or ask for less: --rays 0 leaves the decay out, and `bass` ends earlier with a lower --to",
        )
    }

    /// The exit code.
    pub(crate) fn code(&self) -> ExitCode {
        match self {
            Self::Input(_) => ExitCode::from(2),
            Self::Stopped => ExitCode::from(STOPPED),
            Self::Other(error) if is_broken_pipe(error) => ExitCode::SUCCESS,
            Self::Other(_) => ExitCode::FAILURE,
        }
    }

    /// What to show on stderr, if anything.
    pub(crate) fn message(&self) -> Option<String> {
        match self {
            Self::Input(text) => Some(text.trim_end().to_owned()),
            Self::Stopped => None,
            // The reader has seen enough, as `| head` does: no fault.
            Self::Other(error) if is_broken_pipe(error) => None,
            Self::Other(error) => Some(format!("error: {error:#}")),
        }
    }
}

impl From<anyhow::Error> for Failure {
    fn from(error: anyhow::Error) -> Self {
        if let Some(folder) = error.downcast_ref::<FolderInTheWay>() {
            return Self::usage(
                &folder.to_string(),
                "move it away, or name another folder with --out",
            );
        }
        let declined = error.chain().find_map(|cause| match cause.downcast_ref() {
            Some(SimulationError::WaveField(WaveFieldError::TooLong { predicted_s })) => {
                Some(*predicted_s)
            }
            _ => None,
        });
        declined.map_or(Self::Other(error), Self::too_long)
    }
}

fn is_broken_pipe(error: &anyhow::Error) -> bool {
    error.downcast_ref::<StdoutClosed>().is_some()
}

/// Stdout was closed by whoever reads it.
#[derive(Debug)]
pub(crate) struct StdoutClosed;

impl std::fmt::Display for StdoutClosed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("stdout is closed")
    }
}

impl std::error::Error for StdoutClosed {}

/// What became of writing to stdout: a reader who left early is not an error to report.
pub(crate) fn stdout_failure(error: io::Error) -> Failure {
    if error.kind() == io::ErrorKind::BrokenPipe {
        Failure::Other(StdoutClosed.into())
    } else {
        Failure::Other(anyhow::Error::new(error).context("cannot write to stdout"))
    }
}
