//! Filters, level, delay and polarity of a speaker as written.

use super::Spanned;
use super::table_reader::TableReader;
use crate::medium::signal_chain::Polarity;

/// Keys of a `[[speaker]]` that say how it is driven and how low it reaches.
pub(super) const CHAIN_KEYS: [&str; 7] =
    ["low_hz", "low_order", "high_pass", "low_pass", "level_db", "delay_ms", "polarity"];

/// The keys of [`CHAIN_KEYS`].
#[derive(Debug)]
pub(in crate::scene) struct RawSignalChain {
    pub(in crate::scene) low_hz: Option<Spanned<f64>>,
    pub(in crate::scene) low_order: Option<Spanned<f64>>,
    pub(in crate::scene) high_pass: RawFilter,
    pub(in crate::scene) low_pass: RawFilter,
    pub(in crate::scene) level_db: Option<Spanned<f64>>,
    pub(in crate::scene) delay_ms: Option<Spanned<f64>>,
    pub(in crate::scene) polarity: Option<Spanned<Polarity>>,
}

/// `high_pass` or `low_pass`.
#[derive(Debug)]
pub(in crate::scene) enum RawFilter {
    /// The key is not there.
    Absent,
    /// `{ hz = …, order = … }`, as far as it could be read.
    Written { hz: Option<Spanned<f64>>, order: Option<Spanned<f64>> },
    /// It is there and cannot be read, which has been reported.
    Unreadable,
}

const POLARITIES: &[(&str, Polarity)] =
    &[("normal", Polarity::Normal), ("inverted", Polarity::Inverted)];

/// The chain of a speaker.
pub(super) fn signal_chain(speaker: &TableReader<'_, '_>) -> RawSignalChain {
    RawSignalChain {
        low_hz: speaker.number("low_hz"),
        low_order: speaker.number("low_order"),
        high_pass: filter(speaker, "high_pass"),
        low_pass: filter(speaker, "low_pass"),
        level_db: speaker.number("level_db"),
        delay_ms: speaker.number("delay_ms"),
        polarity: speaker.word("polarity", POLARITIES),
    }
}

fn filter(speaker: &TableReader<'_, '_>, key: &str) -> RawFilter {
    if speaker.get(key).is_none() {
        let is_misspelt = speaker.stands_misspelt(key);
        return if is_misspelt { RawFilter::Unreadable } else { RawFilter::Absent };
    }
    let Some(fields) = speaker.inner(key, &["hz", "order"], "{ hz = 80, order = 4 }") else {
        return RawFilter::Unreadable;
    };
    RawFilter::Written { hz: fields.require_number("hz", "80"), order: fields.number("order") }
}
