//! Subwoofers in words: where they cancel what they play along with, and what delay and polarity do about it.

use super::WaveFieldView;
use crate::content::document::{Cell, Column, Document, Table};
use crate::format::number::fixed;
use crate::format::{frequency, level, sentence, time};
use earline_engine::scene::SpeakerId;
use earline_engine::wave_field::{Cancellation, SubwooferAlignment, SubwooferSum};
use std::cmp::Ordering;

/// Heading of the table.
pub(super) const HEADING: &str = "Where subwoofers and speakers cancel";

/// A setting is worth telling from so much on, decibels: our choice.
const WORTH_DB: f64 = 1.0;
/// Cancellations told of one seat, the deepest ones.
const SHOWN: usize = 3;

/// The table and what it means.
pub(crate) fn document(view: &WaveFieldView<'_>) -> Document {
    let mut document = Document::default();
    let Some(table) = table(view) else { return document };
    document.heading(HEADING).table(table);
    document.note(
        "Loss: level of the sum against that of both in phase; two of one level that lose 6 dB are no louder \
         than one. Told where the filters of neither take away more than 12 dB.",
    );
    document.list(alignment(view));
    document
}

/// For each seat and pair where both play, and where they cancel; `None` without subwoofers that play along.
pub(super) fn table(view: &WaveFieldView<'_>) -> Option<Table> {
    let columns = vec![
        Column::left("Seat"),
        Column::left("Together"),
        Column::left("Both play"),
        Column::left("Loss of 6 dB and more"),
    ];
    let mut table = Table::new(HEADING, columns);
    for sum in &view.found.subwoofer_sums {
        let both = sum.overlap_hz.map_or("nothing".to_owned(), |[a, b]| frequency::range(a, b));
        let subwoofers = view.subwoofers(&sum.subwoofers).unwrap_or_default();
        table.row(vec![
            Cell::plain(view.listener(sum.listener)),
            Cell::plain(format!("{} and {subwoofers}", sum.name)),
            Cell::plain(both),
            Cell::plain(cancellations(sum)),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// `-11.2 dB at 83 Hz, -7.0 dB at 61 Hz`, by rising frequency.
fn cancellations(sum: &SubwooferSum) -> String {
    let mut deepest: Vec<&Cancellation> = sum.cancellations.iter().collect();
    deepest.sort_by(|a, b| a.loss_db.total_cmp(&b.loss_db));
    deepest.truncate(SHOWN);
    deepest.sort_by(|a, b| a.hz.total_cmp(&b.hz));
    let told = |c: &&Cancellation| format!("{} at {:.0} Hz", level::with_unit(c.loss_db), c.hz);
    if deepest.is_empty() {
        "none".to_owned()
    } else {
        deepest.iter().map(told).collect::<Vec<_>>().join(", ")
    }
}

/// `Delay the subwoofer by 2.5 ms more and invert its polarity: …`; `None` where that gains next to nothing.
pub(super) fn alignment(view: &WaveFieldView<'_>) -> Option<String> {
    let best = view.found.subwoofer_alignment.as_ref()?;
    if best.best_db - best.now_db < WORTH_DB {
        return None;
    }
    let subwoofers: Vec<SpeakerId> =
        view.found.subwoofer_sums.first().map(|sum| sum.subwoofers.clone()).unwrap_or_default();
    let words = view.subwoofers(&subwoofers)?;
    let [low_hz, high_hz] = best.overlap_hz;
    let (they, their) = if subwoofers.len() == 1 { ("it", "its") } else { ("they", "their") };
    Some(format!(
        "{}: from {} {they} and {} then add up to {} dB below what both would in phase, instead of {}.",
        setting(best, &words, their),
        frequency::range(low_hz, high_hz),
        best.name,
        fixed(-best.best_db, 1),
        fixed(-best.now_db, 1),
    ))
}

/// What to set.
fn setting(best: &SubwooferAlignment, subwoofers: &str, their: &str) -> String {
    let delay = time::milliseconds(1e-3 * best.delay_ms.abs(), 1);
    let text = match (best.delay_ms.total_cmp(&0.0), best.inverts) {
        (Ordering::Equal, _) => format!("invert the polarity of {subwoofers}"),
        (Ordering::Greater, false) => format!("delay {subwoofers} by {delay} more"),
        (Ordering::Greater, true) => {
            format!("delay {subwoofers} by {delay} more and invert {their} polarity")
        }
        (Ordering::Less, false) => format!("delay {} by {delay} more", best.name),
        (Ordering::Less, true) => {
            format!("delay {} by {delay} more and invert the polarity of {subwoofers}", best.name)
        }
    };
    sentence::capital(&text)
}
