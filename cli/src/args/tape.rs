//! The flags of `earline tape`.

use super::number::whole;
use super::{AskedUnits, Choice, Destination, Detail, Pictures};
use clap::Args;
use earline_engine::simulate::defaults::SEATED_PERCENT;
use std::path::PathBuf;

/// The flags of `earline tape`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Tape {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    #[command(flatten)]
    pub(crate) choice: Choice,
    /// Millimetres, or feet, inches and eighths. [default: the scene's]
    #[arg(long, value_enum)]
    pub(crate) units: Option<AskedUnits>,
    /// Share of the time spent seated, per cent, for the height between seated and standing ears.
    #[arg(long, value_name = "PERCENT", default_value_t = SEATED_PERCENT)]
    #[arg(value_parser = whole(0u8..=100), allow_hyphen_values = true)]
    pub(crate) seated: u8,
    #[command(flatten)]
    pub(crate) pictures: Pictures,
    #[command(flatten)]
    pub(crate) detail: Detail,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

const EXAMPLES: &str = "\
Examples:
  earline tape scenes/attic.toml
      The sheet in the terminal, and as tape.svg and tape.png in earline-out/attic.

  earline tape scenes/garage.toml --speaker 'near left' --speaker 'near right'
      One pair of two.

  earline tape scenes/attic.toml --units imperial
      In feet, inches and eighths, whatever the scene says.

  earline tape scenes/attic.toml --seated 80
      What each height of the speakers costs someone who sits four hours of five.

  earline tape scenes/attic.toml --json | jq '.marks[] | [.name, .from_front_m, .from_left_m]'
      Every mark in metres, for a script.";
