//! The flags of `earline wave`.

use super::Destination;
use super::number::{number, whole};
use clap::{Args, ValueEnum};
use earline_engine::analysis::wavefront::CutPlane;
use earline_engine::medium::bands::NOMINAL_HZ;
use std::path::PathBuf;

/// The flags of `earline wave`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Wave {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    /// The state of the room. [default: as it stands: the one with `now`, else the first]
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,
    /// Whose sound to follow. [default: the first speaker]
    #[arg(long, value_name = "NAME")]
    pub(crate) speaker: Option<String>,
    /// Say when sound passes only this listener; may be given again. [default: all]
    #[arg(long = "listener", value_name = "NAME")]
    pub(crate) listeners: Vec<String>,
    /// From above, from the side, or one after the other; may be given again. [default: plan]
    #[arg(long = "cut", value_name = "CUT")]
    pub(crate) cuts: Vec<CutName>,
    /// So many times slower than life; at 500 a millisecond takes half a second.
    #[arg(long, value_name = "FACTOR", default_value_t = 500)]
    #[arg(value_parser = whole(20u32..=20_000), allow_hyphen_values = true)]
    pub(crate) slow: u32,
    /// Follow the sound for this long, milliseconds after it leaves the speaker.
    #[arg(long, value_name = "MS", default_value_t = 25.0, allow_hyphen_values = true)]
    #[arg(value_parser = number("milliseconds", 1.0..=LATEST_MS))]
    pub(crate) until: f64,
    /// Colour by the level in this octave band, hertz. [default: the mean of 1 to 8 kHz]
    #[arg(long = "hz", value_name = "BAND", value_parser = band, allow_hyphen_values = true)]
    pub(crate) band: Option<usize>,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

/// Where the room is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CutName {
    /// Level, at the height of the speaker; seen from above.
    Plan,
    /// Upright from front to back, through the speaker; seen from the left.
    Section,
}

impl Wave {
    /// The cuts asked for, each once.
    pub(crate) fn cuts(&self) -> Vec<CutPlane> {
        let asked = |name| self.cuts.contains(&name);
        let mut cuts = Vec::new();
        if asked(CutName::Plan) || self.cuts.is_empty() {
            cuts.push(CutPlane::Plan);
        }
        if asked(CutName::Section) {
            cuts.push(CutPlane::Section);
        }
        cuts
    }
}

const EXAMPLES: &str = "\
Examples:
  earline wave scenes/attic.toml
      The first speaker's sound from above, as a moving picture, in earline-out/attic.

  earline wave scenes/attic.toml --variant bare --cut plan --cut section
      The bare room from above and from the side.

  earline wave scenes/garage.toml --speaker 'big right' --slow 2000 --until 12
      Another speaker, four times slower, and only the beginning.

  earline wave scenes/study.toml --hz 250 --until 15
      What 250 Hz does: panels take less of it, and it goes more evenly round.

  earline wave scenes/attic.toml --json | jq '.happenings[] | [.time_ms, .what]'
      What the sound meets and when, for a script.";

/// Sound is not followed for longer, milliseconds.
const LATEST_MS: f64 = 1e3 * earline_engine::analysis::wavefront::LATEST_S;

/// An octave band by its nominal frequency, as an index.
fn band(text: &str) -> Result<usize, String> {
    let hz = text.trim().parse().ok();
    NOMINAL_HZ.iter().position(|nominal| hz == Some(*nominal)).ok_or_else(|| {
        let all: Vec<String> = NOMINAL_HZ.iter().map(f64::to_string).collect();
        format!("give one of {} hertz", all.join(", "))
    })
}
