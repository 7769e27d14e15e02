//! The flags of `earline report`.

use super::decay::criterion;
use super::listing::limit;
use super::{Destination, Rays, Zoning};
use clap::Args;
use earline_engine::metrics::criteria::{
    EARLY_LIMITS, EarlyLimit, REVERBERATION_CRITERIA, ReverberationCriterion,
};
use std::path::PathBuf;

/// The flags of `earline report`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Report {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    /// A state of the room; may be given again, the first is what the others are compared with.
    /// [default: all]
    #[arg(long = "variant", value_name = "NAME")]
    pub(crate) variants: Vec<String>,
    /// Only this listener; may be given again. [default: all]
    #[arg(long = "listener", value_name = "NAME")]
    pub(crate) listeners: Vec<String>,
    /// Only this speaker; may be given again. [default: all]
    #[arg(long = "speaker", value_name = "NAME")]
    pub(crate) speakers: Vec<String>,
    /// The published early-reflection limit to hold the lists against.
    #[arg(long, value_name = "DOCUMENT", default_value = EARLY_LIMITS[0].key, value_parser = limit())]
    pub(crate) limit: &'static EarlyLimit,
    /// The published recommendation to hold the reverberation time against.
    #[arg(long, value_name = "DOCUMENT", default_value = REVERBERATION_CRITERIA[0].key)]
    #[arg(value_parser = criterion())]
    pub(crate) criterion: &'static ReverberationCriterion,
    #[command(flatten)]
    pub(crate) rays: Rays,
    #[command(flatten)]
    pub(crate) zoning: Zoning,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

const EXAMPLES: &str = "\
Examples:
  earline report scenes/attic.toml
      Every state and every seat, in earline-out/attic/report.html.

  earline report scenes/attic.toml --variant bare --variant treated --listener seated
      Two states at one seat, the first before, the second after.

  earline report scenes/garage.toml --speaker 'near left' --speaker 'near right' --out nears
      One pair of two.

  earline report scenes/attic.toml --json | jq '.says.to_try'
      What is on the page as one JSON document, for a script; writes nothing.";
