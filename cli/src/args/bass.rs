//! The flags of `earline bass`.

use super::{Choice, Destination, Measured, Pictures, measured};
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
    #[arg(value_parser = clap::value_parser!(u16).range(10..=400))]
    pub(crate) from: u16,
    /// The highest frequency, hertz.
    #[arg(long, value_name = "HZ", default_value_t = WAVE_FIELD_HZ[1])]
    #[arg(value_parser = clap::value_parser!(u16).range(20..=500))]
    pub(crate) to: u16,
    /// The head moves so far either way along, aside and up; the spread is over that box.
    #[arg(long, value_name = "LENGTH", default_value = HEAD, value_parser = measured)]
    pub(crate) head: Measured,
    /// The frequency of the maps of level, hertz; without it that of the deepest dip at each seat.
    #[arg(long, value_name = "HZ", value_parser = tone)]
    pub(crate) at: Option<f64>,
    #[command(flatten)]
    pub(crate) pictures: Pictures,
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

/// A frequency that is solved for.
fn tone(text: &str) -> Result<f64, String> {
    let hz: f64 = text.trim().parse().map_err(|_| "a number of hertz, as 63 or 41.9".to_owned())?;
    if (LOWEST_HZ..=HIGHEST_HZ).contains(&hz) {
        return Ok(hz);
    }
    Err(format!("give from {LOWEST_HZ} to {HIGHEST_HZ} Hz"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use earline_engine::simulate::defaults::HEAD_HALF_M;

    #[test]
    fn the_head_moves_as_far_as_on_the_page() {
        assert_eq!(measured(HEAD).map(|head| head.metres), Ok(HEAD_HALF_M));
    }
}
