//! The flags of `earline trace`.

use super::{Choice, Destination, Listing};
use clap::Args;
use earline_engine::zone::{FREQUENCIES_HZ, MAX_HEAD_HALF_M};
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
    /// How far the head moves either way, in millimetres, for the zones where a panel would work.
    #[arg(long, value_name = "MM", default_value_t = 150.0, value_parser = head_mm)]
    pub(crate) head: f64,
    /// The frequency of those zones, 50 to 16000 Hz: lower ones are larger.
    #[arg(long, value_name = "HZ", default_value_t = 1000.0, value_parser = zone_hz)]
    pub(crate) zone_hz: f64,
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

  earline trace scenes/attic.toml --json | jq '.pairs[0].reflections[0]'
      One JSON document for a script.

Limits are published starting points, not laws; docs/commands.md says how our copies were come by.";

fn head_mm(text: &str) -> Result<f64, String> {
    let mm: f64 = text.trim().parse().map_err(|_| "give a number of millimetres".to_owned())?;
    if (0.0..=MAX_HEAD_HALF_M * 1000.0).contains(&mm) {
        Ok(mm)
    } else {
        Err(format!("give 0 to {} millimetres", MAX_HEAD_HALF_M * 1000.0))
    }
}

fn zone_hz(text: &str) -> Result<f64, String> {
    let hz: f64 = text.trim().parse().map_err(|_| "give a number of hertz".to_owned())?;
    if FREQUENCIES_HZ.contains(&hz) {
        Ok(hz)
    } else {
        Err(format!("give {} to {} hertz", FREQUENCIES_HZ.start(), FREQUENCIES_HZ.end()))
    }
}
