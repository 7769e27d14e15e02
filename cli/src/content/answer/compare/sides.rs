//! How left and right differ in each state.

use crate::content::comparison::{ComparisonView, VariantAtSeat};
use crate::format::labels;
use crate::io::terminal::HEADING;
use crate::render::columns::{indented, paragraph};
use earline_engine::analysis::compare::{EARLY_S, PairAsymmetry, QUIET_DB, is_equal};

pub(super) fn lines(compared: &ComparisonView<'_>, width: usize) -> Vec<String> {
    let says = sentences(compared);
    if says.is_empty() {
        return paragraph(
            "No pair of speakers was traced whole, so left and right are not compared.",
            width,
        );
    }
    let mut lines = vec![format!("{HEADING}Left against right{HEADING:#}")];
    lines.extend(says.iter().flat_map(|text| indented(text, 2, width)));
    lines
}

/// A sentence for each pair in each state.
pub(crate) fn sentences(compared: &ComparisonView<'_>) -> Vec<String> {
    let of = |seen| {
        let differences = compared.sides(seen);
        differences.into_iter().map(move |one| sentence(compared, seen, &one))
    };
    compared.states.iter().flat_map(of).collect()
}

fn sentence(
    compared: &ComparisonView<'_>,
    seen: &VariantAtSeat<'_>,
    difference: &PairAsymmetry,
) -> String {
    let start = format!("{}, {}:", seen.at.name, difference.name);
    let early_ms = EARLY_S * 1e3;
    let says = match &difference.largest {
        None => {
            format!("nothing over {QUIET_DB:.0} dB in the first {early_ms:.0} ms has a partner")
        }
        Some(partners) if is_equal(partners.left_louder_db) => format!(
            "in the first {early_ms:.0} ms all {} mirrored reflections are equal",
            difference.partners
        ),
        Some(partners) => {
            let louder = if partners.left_louder_db > 0.0 { "left" } else { "right" };
            let left = seen.trace.pairs.iter().find(|pair| pair.speaker == difference.left);
            let path = left.and_then(|pair| pair.reflections.get(partners.left));
            format!(
                "of {} mirrored reflections in the first {early_ms:.0} ms, nos. {} and {} differ \
                 most: {louder} is {:.1} dB louder (left speaker off {})",
                difference.partners,
                seen.number(difference.left, partners.left),
                seen.number(difference.right, partners.right),
                partners.left_louder_db.abs(),
                path.map_or_else(String::new, |r| {
                    labels::spoken_path(compared.scene, &r.arrival.bounces)
                }),
            )
        }
    };
    match difference.alone {
        [0, 0] => format!("{start} {says}."),
        [left, right] => {
            format!(
                "{start} {says}; without a partner are {left} on the left, {right} on the right."
            )
        }
    }
}
