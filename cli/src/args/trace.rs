//! The flags of `earline trace`.

use super::{Choice, DecayOptions, Destination, Detail, Listing, Pictures, Rays, Zoning};
use clap::Args;
use std::path::PathBuf;

/// The flags of `earline trace`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Trace {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    #[command(flatten)]
    pub(crate) choice: Choice,
    #[command(flatten)]
    pub(crate) listing: Listing,
    #[command(flatten)]
    pub(crate) rays: Rays,
    #[command(flatten)]
    pub(crate) decay: DecayOptions,
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
  earline trace scenes/attic.toml
      Answer in the terminal, files in earline-out/attic.

  earline trace scenes/attic.toml --variant bare --listener standing
      The bare room, one seat.

  earline trace scenes/attic.toml --order 1 --bands
      First bounces only, with the level in every octave band.

  earline trace scenes/attic.toml --limit bbc-controlled-image
      Held against 20 dB in the first 20 ms instead of 10 dB in 15 ms.

  earline trace scenes/attic.toml --zone-hz 500 --head 300
      Where panels would work down to 500 Hz, for a head that moves 30 cm either way.

  earline trace scenes/attic.toml --until 0.05
      As many rays as it takes to know the decay to 5 % in every step of 10 ms.

  earline trace scenes/attic.toml --criterion itu-bs1116 --formulas
      The decay held against another document, with every statistical formula beside it.

  earline trace scenes/attic.toml --json | jq '.pairs[0].reflections[0]'
      One JSON document for a script.

Limits and criteria are published starting points, not laws; docs/commands.md says how our copies were come by.";
