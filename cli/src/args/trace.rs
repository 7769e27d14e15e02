//! The flags of `earline trace`.

use super::Choice;
use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use earline_engine::criteria::{EARLY_LIMITS, EarlyLimit};
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
    /// How many bounces a listed reflection may have.
    #[arg(long, value_name = "N", default_value_t = 3)]
    #[arg(value_parser = clap::value_parser!(u8).range(0..=8))]
    pub(crate) order: u8,
    /// List reflections up to this many milliseconds after the direct sound, at most 500.
    #[arg(long, value_name = "MS", default_value_t = 50.0, value_parser = window_ms)]
    pub(crate) window: f64,
    /// The published early-reflection limit to hold the list against.
    #[arg(long, value_name = "DOCUMENT", default_value = EARLY_LIMITS[0].key, value_parser = limit())]
    pub(crate) limit: &'static EarlyLimit,
    /// How far the head moves either way, in millimetres, for the zones where a panel would work.
    #[arg(long, value_name = "MM", default_value_t = 150.0, value_parser = head_mm)]
    pub(crate) head: f64,
    /// The frequency of those zones, 50 to 16000 Hz: lower ones are larger.
    #[arg(long, value_name = "HZ", default_value_t = 1000.0, value_parser = zone_hz)]
    pub(crate) zone_hz: f64,
    /// Show the level in every octave band.
    #[arg(long)]
    pub(crate) bands: bool,
    /// Put the files here. [default: the scene's own folder in earline-out]
    #[arg(long, value_name = "DIR", conflicts_with = "json")]
    pub(crate) out: Option<PathBuf>,
    /// One JSON document on stdout; writes nothing.
    #[arg(long)]
    pub(crate) json: bool,
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

fn window_ms(text: &str) -> Result<f64, String> {
    let ms: f64 = text.trim().parse().map_err(|_| "give a number of milliseconds".to_owned())?;
    if 0.0 < ms && ms <= 500.0 {
        Ok(ms)
    } else {
        Err("give more than 0 and at most 500 milliseconds".to_owned())
    }
}

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

/// Documents by key, each with its figures as the help shows them.
fn limit() -> impl TypedValueParser<Value = &'static EarlyLimit> {
    let keys = EARLY_LIMITS.iter().map(|limit| {
        PossibleValue::new(limit.key).help(format!(
            "{}: {:.0} dB within {:.0} ms, 1 to 8 kHz",
            limit.document,
            limit.level_db(),
            limit.window_s() * 1000.0
        ))
    });
    PossibleValuesParser::new(keys).try_map(|key| {
        EARLY_LIMITS.iter().find(|limit| limit.key == key).ok_or("not a known document")
    })
}
