//! Files and devices: scene files, recordings, WAV files, terminal, exit codes.

pub(crate) mod diagnose;
pub(crate) mod exit;
#[cfg(test)]
mod fuzz;
pub(crate) mod input;
pub(crate) mod progress;
pub(crate) mod prompt;
pub(crate) mod recording;
pub(crate) mod select;
pub(crate) mod terminal;
mod wait;
pub(crate) mod wav;
pub(crate) mod write;
