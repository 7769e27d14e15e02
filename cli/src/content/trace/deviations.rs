//! Deviations of the traced decay from Eyring's formula with their likely causes: once for all speakers
//! and seats, for the causes lie in the room.

use super::TraceReport;
use crate::content::document::Document;
use crate::content::formula_comparison;
use crate::format::number::{fixed, percent};
use earline_engine::metrics::decay::Metric;
use earline_engine::metrics::diffuse_field::{DeviationCause, Formula, FormulaDeviation};

/// The deviations; nothing where no rays were followed.
pub(crate) fn document(report: &TraceReport<'_>) -> Document {
    let mut document = Document::default();
    let Some(decay) = report.decay else { return document };
    let deviations =
        |pair| report.formula_comparison.deviations(pair, Metric::T20, Formula::Eyring);
    let all: Vec<FormulaDeviation> = decay.pairs.iter().flat_map(deviations).collect();
    document.heading("Trace beside formula");
    if all.is_empty() {
        document.note(
            "T20 and Eyring's formula agree within the 10 % that such a formula may be off and the \
             error of the rays.",
        );
    }
    for is_longer in [true, false] {
        let one_way: Vec<&FormulaDeviation> =
            all.iter().filter(|found| (found.relative() > 0.0) == is_longer).collect();
        document.append(one_way_document(report, &one_way));
    }
    document.note(format!(
        "Neither is truer than the absorption it is given, and no catalogue knows that to the last \
         tenth. All figures are in decay.csv and trace.json{}.",
        if report.formulas { "" } else { "; --formulas shows the other formulas" }
    ));
    document
}

/// Deviations in the same direction.
fn one_way_document(report: &TraceReport<'_>, found: &[&FormulaDeviation]) -> Document {
    let mut document = Document::default();
    let Some(&widest) =
        found.iter().max_by(|a, b| a.relative().abs().total_cmp(&b.relative().abs()))
    else {
        return document;
    };
    let bands = in_order(found.iter().map(|one| one.band));
    let way = if widest.relative() > 0.0 { "longer" } else { "shorter" };
    let shares = found.iter().map(|one| one.relative().abs());
    let [least, most] = [shares.clone().fold(f64::INFINITY, f64::min), shares.fold(0.0, f64::max)];
    let range = if (100.0 * (most - least)).round() < 1.0 {
        percent(most)
    } else {
        format!("{} to {}", fixed(100.0 * least, 0), percent(most))
    };
    let causes = causes(report, found, &bands);
    let why = if causes.is_empty() {
        "Nothing that is looked for here explains it."
    } else {
        "Likely behind it:"
    };
    let bands = formula_comparison::bands(&bands);
    document.note(format!("T20 is {range} {way} than by Eyring's formula {bands}. {why}"));
    document.list(causes);
    document
}

/// Each cause once, in words with the figures of the band that parts widest by it; with its bands
/// where they are not all that part.
fn causes(
    report: &TraceReport<'_>,
    found: &[&FormulaDeviation],
    all_bands: &[usize],
) -> Vec<String> {
    let mut kinds: Vec<(DeviationCause, Vec<&FormulaDeviation>)> = Vec::new();
    for &one in found {
        for cause in &one.causes {
            match kinds.iter_mut().find(|(known, _)| is_same(known, cause)) {
                Some((_, at)) => at.push(one),
                None => kinds.push((*cause, vec![one])),
            }
        }
    }
    // Likeliest first, as the engine orders them; of two walls the one behind more.
    kinds.sort_by_key(|(cause, at)| (rank(cause), std::cmp::Reverse(at.len())));
    kinds
        .iter()
        .filter_map(|(cause, at)| {
            let widest =
                at.iter().max_by(|a, b| a.relative().abs().total_cmp(&b.relative().abs()))?;
            let own = widest.causes.iter().find(|other| is_same(other, cause))?;
            let words = formula_comparison::cause(
                report.scene,
                report.formula_comparison,
                own,
                widest.band,
            );
            let bands = in_order(at.iter().map(|one| one.band));
            let is_everywhere = bands == all_bands;
            Some(if is_everywhere {
                words
            } else {
                format!("{}: {words}", formula_comparison::bands(&bands))
            })
        })
        .collect()
}

fn in_order(bands: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut bands: Vec<usize> = bands.collect();
    bands.sort_unstable();
    bands.dedup();
    bands
}

/// Whether two causes are the same one in different bands.
fn is_same(one: &DeviationCause, other: &DeviationCause) -> bool {
    match (one, other) {
        (
            DeviationCause::UnevenAxes { holds: a, .. },
            DeviationCause::UnevenAxes { holds: b, .. },
        )
        | (
            DeviationCause::StrongAbsorber { index: a, .. },
            DeviationCause::StrongAbsorber { index: b, .. },
        ) => a == b,
        _ => rank(one) == rank(other),
    }
}

fn rank(cause: &DeviationCause) -> usize {
    match cause {
        DeviationCause::SeparateModes => 0,
        DeviationCause::UnevenAxes { .. } => 1,
        DeviationCause::LowScattering { .. } => 2,
        DeviationCause::StrongAbsorber { .. } => 3,
        DeviationCause::Air { .. } => 4,
    }
}
