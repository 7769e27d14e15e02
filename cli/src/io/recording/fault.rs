//! Why a recording is not played.

use std::fmt::Display;
use std::io;

/// The kinds of samples that every sound editor writes.
const SAVE_AS_WAV: &str = "save the recording as WAV: 16 or 24 bit, or 32 bit float";
/// For a file that is not whole.
const EXPORT_AGAIN: &str = "export the recording as WAV again";

/// What is wrong with a file, which reads on after its name, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    /// What is wrong.
    pub(super) what: String,
    /// What would be right.
    pub(super) remedy: &'static str,
}

impl Fault {
    /// Anything with a remedy of its own.
    pub(super) fn new(what: impl Display, remedy: &'static str) -> Self {
        Self { what: what.to_string(), remedy }
    }

    /// A file or samples of another kind.
    pub(super) fn kind(what: impl Display) -> Self {
        Self::new(what, SAVE_AS_WAV)
    }

    /// A file that is not whole, or contradicts itself.
    pub(super) fn broken(what: impl Display) -> Self {
        Self::new(what, EXPORT_AGAIN)
    }
}

impl From<io::Error> for Fault {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            // It was longer when it was looked at.
            io::ErrorKind::UnexpectedEof => Self::broken("became shorter while it was read"),
            _ => Self::new(
                format_args!("cannot be read: {error}"),
                "check the file given with --dry",
            ),
        }
    }
}
