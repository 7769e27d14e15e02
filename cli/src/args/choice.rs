//! Which state of the room, which seats and which speakers.

use clap::Args;

/// Which part of a scene is asked about.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct Choice {
    /// The state of the room. [default: as it stands: the one with `now`, else the first]
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,
    /// Only this listener; may be given again. [default: all]
    #[arg(long = "listener", value_name = "NAME")]
    pub(crate) listeners: Vec<String>,
    /// Only this speaker; may be given again. [default: all]
    #[arg(long = "speaker", value_name = "NAME")]
    pub(crate) speakers: Vec<String>,
}
