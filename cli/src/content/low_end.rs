//! The bass of several variants of the room, side by side.

use super::document::{Cell, Column, Document, Table};
use crate::format::frequency;
use crate::format::number::{fixed, or_missing};
use crate::format::time;
use earline_engine::scene::ListenerId;
use earline_engine::wave_field::{LowFrequencySummary, MODAL_DECAY_BAND_HZ, UNEVENNESS_BAND_HZ};

/// Unevenness, deepest dip and ringing of each variant, by its name; `listener` names a seat.
/// Nothing in a room too large for its bass to be solved.
pub(crate) fn document<'a>(
    variants: &[(&str, &LowFrequencySummary)],
    listener: &dyn Fn(ListenerId) -> &'a str,
) -> Document {
    let mut document = Document::default();
    if variants.iter().all(|(_, low_end)| low_end.rows.is_empty()) {
        return document;
    }
    let columns = vec![
        Column::right("uneven dB"),
        Column::right("dip dB"),
        Column::right("at Hz"),
        Column::right("rings s"),
        Column::left("What sounds, in which state"),
    ];
    let mut table = Table::new("Bass", columns);
    for (name, low_end) in variants {
        for row in &low_end.rows {
            let cells = [
                or_missing(row.unevenness_db, |db| fixed(db, 1)),
                or_missing(row.dip, |[_, depth_db]| fixed(depth_db, 1)),
                or_missing(row.dip, |[hz, _]| fixed(hz, 0)),
                or_missing(low_end.mean_decay_s, time::decay),
                format!("{} at {}, {name}", row.source, listener(row.listener)),
            ];
            table.row(cells.map(Cell::plain).into());
        }
    }
    document.heading("Bass").table(table).note(format!(
        "From the wave field, {}: standard deviation of the level, the deepest dip below the mean of an \
         octave about it, and how long modes from {} ring on average (to \u{2212}60 dB). Furniture and \
         screens are not in it. `earline bass` tells more.",
        frequency::range(UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]),
        frequency::range(MODAL_DECAY_BAND_HZ[0], MODAL_DECAY_BAND_HZ[1]),
    ));
    document
}
