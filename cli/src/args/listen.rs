//! The flags of `earline listen`.

use super::{Choice, Destination, Rays};
use clap::Args;
use std::path::PathBuf;

/// The flags of `earline listen`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Listen {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    #[command(flatten)]
    pub(crate) choice: Choice,
    /// A second state of the room, to hear against the first.
    #[arg(long, value_name = "VARIANT")]
    pub(crate) against: Option<String>,
    /// Your own recording without any room in it, as a WAV file: mono, or stereo for a pair. The first
    /// minute is played.
    #[arg(long, value_name = "FILE")]
    pub(crate) dry: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) rays: Rays,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

const EXAMPLES: &str = "\
Examples:
  earline listen scenes/attic.toml --variant treated --listener seated
      Impulse responses of every speaker at one listener, in earline-out/attic.

  earline listen scenes/attic.toml --variant bare --against treated --dry voice.wav
      Your recording in both states at one loudness, and both in turns in one file, for headphones.

  earline listen scenes/garage.toml --speaker 'near left' --floor -80
      One speaker, followed down to 80 dB below all that arrives.

  earline listen scenes/attic.toml --json | jq '.states[0].pairs[0].ears'
      One JSON document for a script.

Start quietly: turn the volume down before you play a file, and up from there.";
