//! The flags of `earline compare`.

use super::{Destination, Detail, Listing, Pictures, Zoning};
use clap::Args;
use std::path::PathBuf;

/// The flags of `earline compare`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Compare {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    /// A state of the room; give it again for each, the first is what the others are compared
    /// with. [default: all of them]
    #[arg(long = "variant", value_name = "NAME")]
    pub(crate) variants: Vec<String>,
    /// A listener; give it again to compare seats. [default: the first]
    #[arg(long = "listener", value_name = "NAME")]
    pub(crate) listeners: Vec<String>,
    /// Only this speaker; may be given again. [default: all]
    #[arg(long = "speaker", value_name = "NAME")]
    pub(crate) speakers: Vec<String>,
    #[command(flatten)]
    pub(crate) listing: Listing,
    #[command(flatten)]
    pub(crate) zoning: Zoning,
    #[command(flatten)]
    pub(crate) pictures: Pictures,
    #[command(flatten)]
    pub(crate) detail: Detail,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

const EXAMPLES: &str = "\
Examples:
  earline compare scenes/attic.toml
      All states of the room against the first, at the first listener.

  earline compare scenes/attic.toml --variant bare --variant treated --listener standing
      Two states, standing.

  earline compare scenes/attic.toml --variant treated --listener seated --listener standing
      One state, two seats.

  earline compare scenes/attic.toml --bands --out before-and-after
      Every octave band; files in the folder before-and-after.

  earline compare scenes/attic.toml --zone-hz 500 --head 300
      How well panels cover where they would work down to 500 Hz, for a head that moves 30 cm.

  earline compare scenes/attic.toml --json | jq '.comparisons[0].cost'
      One JSON document for a script.

Several variants and several listeners make every combination of them. Differences smaller than
the model's own uncertainty are called equal; the answer says how much that is.";
