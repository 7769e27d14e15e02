//! The bass of several variants of the room, side by side.

pub(crate) mod change;

use super::document::{Cell, Column, Document, Table};
use crate::format::number::{fixed, or_missing};
use crate::format::{frequency, level, time};
use earline_engine::scene::ListenerId;
use earline_engine::wave_field::{LowFrequencySummary, MODAL_DECAY_BAND_HZ, UNEVENNESS_BAND_HZ};

/// Heading over the table.
pub(crate) const HEADING: &str = "Bass";
/// Who tells more.
pub(crate) const TELLS_MORE: &str = "`earline bass` tells more.";

/// Unevenness, deepest dip and mean decay of each variant, by its name; `listener` names a seat.
/// Nothing in a room too large for its bass to be solved.
pub(crate) fn document<'a>(
    variants: &[(&str, &LowFrequencySummary)],
    listener: &dyn Fn(ListenerId) -> &'a str,
) -> Document {
    let mut document = Document::default();
    let Some(table) = table(variants, listener) else { return document };
    document.heading(HEADING).table(table).note(format!(
        "Computed from the modes of the room, {}: standard deviation of the level; the deepest dip below the \
         mean of an octave about it; mean decay time (to \u{2212}60 dB) of the modes from {}. {TELLS_MORE}",
        frequency::range(UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]),
        frequency::range(MODAL_DECAY_BAND_HZ[0], MODAL_DECAY_BAND_HZ[1]),
    ));
    document
}

/// The same as a table; `None` where nothing is known.
pub(crate) fn table<'a>(
    variants: &[(&str, &LowFrequencySummary)],
    listener: &dyn Fn(ListenerId) -> &'a str,
) -> Option<Table> {
    let columns = vec![
        Column::right("Uneven by"),
        Column::right("Deepest dip"),
        Column::right("At"),
        Column::right("Decay"),
        Column::left("Speakers, seat and state"),
    ];
    let mut table = Table::new(HEADING, columns);
    for (name, low_end) in variants {
        for row in &low_end.rows {
            let cells = [
                or_missing(row.unevenness_db, |db| format!("{} dB", fixed(db, 1))),
                or_missing(row.dip, |[_, depth_db]| level::with_unit(depth_db)),
                or_missing(row.dip, |[hz, _]| frequency::frequency(hz)),
                or_missing(low_end.mean_decay_s, |s| format!("{} s", time::decay(s))),
                format!("{} at {}, {name}", row.source, listener(row.listener)),
            ];
            table.row(cells.map(Cell::plain).into());
        }
    }
    (!table.rows.is_empty()).then_some(table)
}
