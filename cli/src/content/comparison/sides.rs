//! Left against right in each variant.

use super::{ComparisonView, VariantAtSeat};
use crate::content::document::Document;
use crate::format::number::fixed;
use crate::format::{labels, time};
use earline_engine::analysis::compare::{EARLY_S, PairAsymmetry, QUIET_DB, is_equal};

/// Heading over the sentences.
pub(crate) const HEADING: &str = "Left against right";

/// Every pair of speakers in every variant.
pub(super) fn document(view: &ComparisonView<'_>) -> Document {
    let sentences = sentences(view);
    let mut document = Document::default();
    if sentences.is_empty() {
        let text = "No pair was traced with both its speakers, so left and right are not compared.";
        document.pause().paragraph(text);
        return document;
    }
    document.heading(HEADING);
    for sentence in sentences {
        document.note(sentence);
    }
    document
}

/// A sentence for each pair in each state.
pub(crate) fn sentences(view: &ComparisonView<'_>) -> Vec<String> {
    let of = |seen| {
        let differences = view.sides(seen);
        differences.into_iter().map(move |one| sentence(view, seen, &one))
    };
    view.variants.iter().flat_map(of).collect()
}

fn sentence(
    view: &ComparisonView<'_>,
    seen: &VariantAtSeat<'_>,
    difference: &PairAsymmetry,
) -> String {
    let start = format!("{}, {}:", seen.at.name, difference.name);
    let early = time::milliseconds(EARLY_S, 0);
    let sentence = match &difference.largest {
        None => {
            format!(
                "nothing over {} dB in the first {early} has a mirror image",
                fixed(QUIET_DB, 0)
            )
        }
        Some(partners) if is_equal(partners.left_louder_db) => format!(
            "in the first {early} all {} mirrored reflections are equal",
            difference.partners
        ),
        Some(partners) => {
            let louder = if partners.left_louder_db > 0.0 { "left" } else { "right" };
            let left = seen.trace.pairs.iter().find(|pair| pair.speaker == difference.left);
            let path = left.and_then(|pair| pair.reflections.get(partners.left));
            format!(
                "of {} mirrored reflections in the first {early}, nos. {} and {} differ \
                 most: {louder} is {:.1} dB louder (left speaker off {})",
                difference.partners,
                seen.number(difference.left, partners.left),
                seen.number(difference.right, partners.right),
                partners.left_louder_db.abs(),
                path.map_or_else(String::new, |r| {
                    labels::spoken_path(view.scene, &r.arrival.bounces)
                }),
            )
        }
    };
    match difference.alone {
        [0, 0] => format!("{start} {sentence}."),
        [left, right] => {
            format!(
                "{start} {sentence}; {left} on the left and {right} on the right have no mirror image."
            )
        }
    }
}
