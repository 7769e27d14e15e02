//! Where answers go.

use clap::Args;
use std::path::PathBuf;

/// Files, or one document.
#[derive(Debug, Clone, Args)]
pub(crate) struct Destination {
    /// Put the files here. [default: the scene's own folder in earline-out]
    #[arg(long, value_name = "DIR", conflicts_with = "json")]
    pub(crate) out: Option<PathBuf>,
    /// One JSON document on stdout; writes nothing.
    #[arg(long)]
    pub(crate) json: bool,
}
