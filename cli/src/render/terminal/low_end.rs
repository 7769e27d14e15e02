//! The bass of several states of the room, side by side.

use super::heading;
use crate::io::terminal::QUIET;
use crate::render::columns::{Cell, Lean, Table, indented};
use earline_engine::wave_field::{
    LowFrequencyRow, LowFrequencySummary, MODAL_DECAY_BAND_HZ, UNEVENNESS_BAND_HZ,
};

/// A state by its name, with the listener it is heard at where that is one of the state's own.
pub(super) struct Low<'a> {
    pub(super) name: &'a str,
    pub(super) found: &'a LowFrequencySummary,
}

/// Unevenness, deepest dip and ringing of each state; `listener` names a seat by its index.
pub(super) fn lines<'a>(
    states: &[Low<'a>],
    listener: &dyn Fn(usize) -> &'a str,
    width: usize,
) -> Vec<String> {
    let mut lines: Vec<String> = heading("Bass").into();
    let mut table = Table::new(vec![
        ("uneven dB", Lean::Right),
        ("dip dB", Lean::Right),
        ("at Hz", Lean::Right),
        ("rings s", Lean::Right),
        ("What sounds, in which state", Lean::Left),
    ]);
    let tenth = |figure: Option<f64>| figure.map_or("—".to_owned(), |f| format!("{f:.1}"));
    for state in states {
        for row in &state.found.rows {
            let rings = state.found.mean_decay_s.map_or("—".to_owned(), |s| format!("{s:.2}"));
            let cells = [
                tenth(row.unevenness_db),
                tenth(row.dip.map(|[_, depth_db]| depth_db)),
                row.dip.map_or("—".to_owned(), |[hz, _]| format!("{hz:.0}")),
                rings,
                named(row, state.name, listener(row.listener)),
            ];
            table.row(cells.into_iter().map(Cell::plain).collect(), Vec::new());
        }
    }
    lines.extend(table.lines(width, QUIET));
    let text = format!(
        "From the wave field, {:.0} to {:.0} Hz: standard deviation of the level, the deepest dip below \
         the mean of an octave about it, and how long modes from {:.0} to {:.0} Hz ring on average (to \
         -60 dB). Furniture and screens are not in it. `earline bass` tells more.",
        UNEVENNESS_BAND_HZ[0],
        UNEVENNESS_BAND_HZ[1],
        MODAL_DECAY_BAND_HZ[0],
        MODAL_DECAY_BAND_HZ[1],
    );
    lines.extend(indented(&text, 2, width));
    lines
}

fn named(row: &LowFrequencyRow, state: &str, listener: &str) -> String {
    format!("{} at {listener}, {state}", row.source)
}
