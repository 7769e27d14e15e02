//! The flags of `earline bass`.

use super::number::{number, whole};
use super::{Choice, Destination, Detail, Measured, Pictures, measured};
use clap::Args;
use earline_engine::simulate::defaults::WAVE_FIELD_HZ;
use earline_engine::wave_field::{HIGHEST_HZ, LOWEST_HZ};
use std::path::PathBuf;

/// The flags of `earline bass`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Bass {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    #[command(flatten)]
    pub(crate) choice: Choice,
    /// The lowest frequency, hertz.
    #[arg(long, value_name = "HZ", default_value_t = WAVE_FIELD_HZ[0])]
    #[arg(value_parser = whole(10u16..=400), allow_hyphen_values = true)]
    pub(crate) from: u16,
    /// The highest frequency, hertz.
    #[arg(long, value_name = "HZ", default_value_t = WAVE_FIELD_HZ[1])]
    #[arg(value_parser = whole(20u16..=500), allow_hyphen_values = true)]
    pub(crate) to: u16,
    /// The head moves so far either way along, aside and up; the spread is over that box.
    #[arg(long, value_name = "LENGTH", default_value = HEAD)]
    #[arg(value_parser = measured, allow_hyphen_values = true)]
    pub(crate) head: Measured,
    /// The frequency of the maps of level, hertz; without it that of the deepest dip at each seat.
    #[arg(long, value_name = "HZ", allow_hyphen_values = true)]
    #[arg(value_parser = number("hertz", LOWEST_HZ..=HIGHEST_HZ))]
    pub(crate) at: Option<f64>,
    #[command(flatten)]
    pub(crate) pictures: Pictures,
    #[command(flatten)]
    pub(crate) detail: Detail,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

const EXAMPLES: &str = "\
Examples:
  earline bass scenes/attic.toml
      Response, peaks and dips with their causes, modes; and pictures, in earline-out/attic.

  earline bass scenes/attic.toml --variant bare --listener seated --to 200
      The bare room at one seat, up to 200 Hz.

  earline bass scenes/attic.toml --at 41.9
      Where the second mode is loud and where it is not, in plan and section.

  earline bass scenes/garage.toml --json | jq '.modes[] | select(.hz < 60)'
      The lowest modes, for a script.";

/// Default movement of the head as it is typed: the engine's `HEAD_HALF_M`.
const HEAD: &str = "10 cm";

#[cfg(test)]
mod tests {
    use super::*;
    use earline_engine::simulate::defaults::HEAD_HALF_M;

    #[test]
    fn the_head_moves_as_far_as_on_the_page() {
        assert_eq!(measured(HEAD).map(|head| head.metres), Ok(HEAD_HALF_M));
    }
}
