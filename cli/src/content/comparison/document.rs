//! The report of a comparison.

use super::{ComparisonView, Difference};
use super::{changes, sides, summary, zones};
use crate::content::criterion::early_limit;
use crate::content::document::Document;
use crate::content::low_end;
use earline_engine::analysis::compare::{EQUAL_DB, MatchedReflection};
use earline_engine::scene::ListenerId;

/// The whole report; with `bands` the change in every octave band.
pub(crate) fn document(view: &ComparisonView<'_>, bands: bool) -> Document {
    let mut document = Document::default();
    document.title(view.scene.title()).paragraph(subject(view));
    for difference in &view.differences {
        let [first, second] = view.both(difference).map(|seen| &seen.at.name);
        document.heading(format!("{first} → {second}"));
        if is_identical(view, difference) {
            document.note(SAME);
            continue;
        }
        for sentence in summary::sentences(view, difference) {
            document.note(sentence);
        }
        document.append(changes::document(view, difference, bands));
    }
    document.append(zones::document(view));
    let low_ends = view
        .variants
        .iter()
        .filter_map(|seen| Some((seen.at.name.as_str(), seen.low_end.as_ref()?)));
    let seat = |id: ListenerId| view.scene[id].name.as_str();
    document.append(low_end::document(&low_ends.collect::<Vec<_>>(), &seat));
    document.append(sides::document(view));
    document.pause().paragraph(uncertainty());
    document.pause().paragraph(early_limit(view.limit));
    document
}

pub(super) const SAME: &str = "No difference: the same things are in the room, and every reflection is the \
                    same to the last digit.";

/// Variants and seats in a sentence.
pub(super) fn subject(view: &ComparisonView<'_>) -> String {
    let names: Vec<&str> = view.variants.iter().map(|seen| seen.at.name.as_str()).collect();
    let seat = |id: ListenerId| view.scene[id].name.as_str();
    let mut seats: Vec<ListenerId> = view.variants.iter().map(|seen| seen.at.listener).collect();
    seats.dedup();
    let state = view.variants.first().and_then(|seen| seen.at.state.name);
    let held = match (seats.as_slice(), state) {
        ([only], _) => format!(", at {}", seat(*only)),
        (_, Some(variant)) if names.iter().all(|name| !name.contains(variant)) => {
            format!(", in the state {variant}")
        }
        _ => String::new(),
    };
    let [first, others @ ..] = names.as_slice() else { return String::new() };
    format!("{} against {first}{held}.", others.join(" and "))
}

/// Whether nothing at all differs, exactly.
pub(super) fn is_identical(view: &ComparisonView<'_>, difference: &Difference<'_>) -> bool {
    let unchanged = |m: &MatchedReflection| {
        m.later_s == 0.0 && m.change_db == 0.0 && m.band_change_db.iter().all(|db| *db == 0.0)
    };
    let [first, second] = view.both(difference);
    difference.exchange.is_empty()
        && first.at.listener == second.at.listener
        && difference.pairs.iter().all(|pair| {
            pair.vanished.is_empty() && pair.new.is_empty() && pair.matched.iter().all(unchanged)
        })
}

pub(crate) fn uncertainty() -> String {
    format!(
        "Equal means less than {EQUAL_DB} dB apart, over 1 to 8 kHz or in a band. The model is no \
         better than that: against wave-exact solutions (125 Hz to 2 kHz) finite panels were off \
         by 0.5 to 1.4 dB on average where they absorb everything, by less where they absorb \
         less. Nor does anyone know the absorption of a wall to the last decibel. A starting \
         point: what counts is what you hear."
    )
}
