//! Which reflections are listed, and what they are held against.

use super::number::{number, whole};
use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use earline_engine::metrics::criteria::{EARLY_LIMITS, EarlyLimit};
use earline_engine::scene::{ListenerId, SpeakerId};
use earline_engine::simulate::{Request, defaults};

/// Which reflections are listed, and what they are held against.
#[derive(Debug, Clone, Args)]
pub(crate) struct Listed {
    /// How many bounces a listed reflection may have.
    #[arg(long, value_name = "N", default_value_t = defaults::ORDER)]
    #[arg(value_parser = whole(0u8..=8), allow_hyphen_values = true)]
    pub(crate) order: u8,
    /// List reflections up to this many milliseconds after the direct sound, 0.1 to 500.
    #[arg(long, value_name = "MS", default_value_t = 1e3 * defaults::WINDOW_S)]
    #[arg(value_parser = number("milliseconds", 0.1..=500.0), allow_hyphen_values = true)]
    pub(crate) window: f64,
    /// The published early-reflection limit to hold the list against.
    #[arg(long, value_name = "DOCUMENT", default_value = EARLY_LIMITS[0].key, value_parser = limit())]
    pub(crate) limit: &'static EarlyLimit,
}

/// The same, and how they are shown.
#[derive(Debug, Clone, Args)]
pub(crate) struct Listing {
    #[command(flatten)]
    pub(crate) listed: Listed,
    /// Show every octave band.
    #[arg(long)]
    pub(crate) bands: bool,
}

impl Listed {
    /// The list of these speakers at these listeners.
    pub(crate) fn request(&self, speakers: Vec<SpeakerId>, listeners: Vec<ListenerId>) -> Request {
        Request {
            order: usize::from(self.order),
            window_s: self.window_s(),
            ..Request::list(speakers, listeners)
        }
    }

    /// The window in seconds.
    pub(crate) fn window_s(&self) -> f64 {
        self.window / 1000.0
    }
}

/// Documents by key, each with its figures as the help shows them.
pub(crate) fn limit() -> impl TypedValueParser<Value = &'static EarlyLimit> {
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
