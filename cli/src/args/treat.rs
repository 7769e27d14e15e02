//! The flags of `earline treat`.

use super::listing::limit;
use super::number::whole;
use super::{Choice, Destination, Detail, Pictures, Zoning};
use clap::Args;
use earline_engine::metrics::criteria::{EARLY_LIMITS, EarlyLimit};
use std::path::PathBuf;

/// The flags of `earline treat`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Treat {
    /// The scene file (TOML); its `[[absorber]]` sections say what could be bought.
    pub(crate) scene: PathBuf,
    #[command(flatten)]
    pub(crate) choice: Choice,
    /// Spend no more than this, in the scene's currency; every absorber then needs its cost.
    #[arg(long, value_name = "AMOUNT", value_parser = amount, allow_hyphen_values = true)]
    pub(crate) budget: Option<f64>,
    /// Put up no more than so many pieces.
    #[arg(long, value_name = "N", default_value_t = 8)]
    #[arg(value_parser = whole(0u8..=24), allow_hyphen_values = true)]
    pub(crate) pieces: u8,
    /// Let pieces go up one by one where speakers and seats mirror each other; without it what goes
    /// up at the left goes up at the right as well.
    #[arg(long)]
    pub(crate) singly: bool,
    /// The published early-reflection limit to treat for.
    #[arg(long, value_name = "DOCUMENT", default_value = EARLY_LIMITS[0].key, value_parser = limit())]
    pub(crate) limit: &'static EarlyLimit,
    #[command(flatten)]
    pub(crate) zoning: Zoning,
    #[command(flatten)]
    pub(crate) pictures: Pictures,
    #[command(flatten)]
    pub(crate) detail: Detail,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

fn amount(text: &str) -> Result<f64, String> {
    let amount = text.trim().parse().ok().filter(|amount: &f64| amount.is_finite());
    amount.ok_or_else(|| "give an amount above 0, a number without its currency".to_owned())
}

const EXAMPLES: &str = "\
Examples:
  earline treat scenes/attic.toml --variant bare
      From bare walls: what to buy first, and where it goes.

  earline treat scenes/attic.toml
      On top of what hangs already.

  earline treat scenes/bedroom.toml --budget 400
      For no more than 400; the scene says what each piece costs.

  earline treat scenes/attic.toml --variant bare --pieces 3 --listener seated
      Three pieces, for one seat.

  earline treat scenes/attic.toml --json | jq '.steps[] | [.cost, .gain_db]'
      One JSON document for a script.

  earline compare earline-out/attic/treated.toml
      Afterwards: before against after in the scene that it leaves.";
