//! How much of an answer is shown.

use clap::Args;

/// One screen, or everything.
#[derive(Debug, Clone, Args)]
pub(crate) struct Detail {
    /// Show everything that was found, not only what to do first.
    #[arg(long, conflicts_with = "json")]
    pub(crate) full: bool,
}
