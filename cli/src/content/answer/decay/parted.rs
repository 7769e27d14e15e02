//! Where the traced decay and Eyring's formula part, and what is likely behind it: once for all
//! speakers and seats, for the causes lie in the room.

use super::super::TraceReport;
use crate::content::formula_comparison;
use crate::io::terminal::HEADING;
use crate::render::columns::{indented, item};
use earline_engine::metrics::decay::Metric;
use earline_engine::metrics::diffuse_field::{DeviationCause, Formula, FormulaDeviation};

/// What the answer says of it; nothing where no rays were followed.
pub(in super::super) fn lines(told: &TraceReport<'_>, width: usize) -> Vec<String> {
    let Some(decay) = told.decay else { return Vec::new() };
    let parted = |pair| told.beside.parted(pair, Metric::T20, Formula::Eyring);
    let all: Vec<FormulaDeviation> = decay.pairs.iter().flat_map(parted).collect();
    let mut lines = vec![String::new(), format!("{HEADING}Trace beside formula{HEADING:#}")];
    if all.is_empty() {
        let text = "T20 and Eyring's formula agree within the 10 % that such a formula may be off \
                    and the error of the rays.";
        lines.extend(indented(text, 2, width));
    }
    for is_longer in [true, false] {
        let one_way: Vec<&FormulaDeviation> =
            all.iter().filter(|found| (found.relative() > 0.0) == is_longer).collect();
        lines.extend(one_way_lines(told, &one_way, width));
    }
    let last = format!(
        "Neither is truer than the absorption it is given, and no catalogue knows that to the last \
         tenth. All figures are in decay.csv and trace.json{}.",
        if told.formulas { "" } else { "; --formulas shows the other formulas" }
    );
    lines.extend(indented(&last, 2, width));
    lines
}

/// Those that part in the same direction.
fn one_way_lines(told: &TraceReport<'_>, found: &[&FormulaDeviation], width: usize) -> Vec<String> {
    let Some(&widest) =
        found.iter().max_by(|a, b| a.relative().abs().total_cmp(&b.relative().abs()))
    else {
        return Vec::new();
    };
    let bands = in_order(found.iter().map(|one| one.band));
    let way = if widest.relative() > 0.0 { "longer" } else { "shorter" };
    let shares = found.iter().map(|one| one.relative().abs() * 100.0);
    let [least, most] = [shares.clone().fold(f64::INFINITY, f64::min), shares.fold(0.0, f64::max)];
    let range = if (most - least).round() < 1.0 {
        format!("{most:.0} %")
    } else {
        format!("{least:.0} to {most:.0} %")
    };
    let told_causes = causes(told, found, &bands);
    let why = if told_causes.is_empty() {
        "Nothing that is looked for here explains it."
    } else {
        "Likely behind it:"
    };
    let text = format!(
        "T20 is {range} {way} than by Eyring's formula {}. {why}",
        formula_comparison::bands(&bands)
    );
    let mut lines = indented(&text, 2, width);
    lines.extend(told_causes.iter().flat_map(|cause| item("  · ", cause, width)));
    lines
}

/// Each cause once, in words with the figures of the band that parts widest by it; with its bands
/// where they are not all that part.
fn causes(told: &TraceReport<'_>, found: &[&FormulaDeviation], all_bands: &[usize]) -> Vec<String> {
    let mut kinds: Vec<(Cause, Vec<&FormulaDeviation>)> = Vec::new();
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
            let words = formula_comparison::cause(told.scene, told.beside, own, widest.band);
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

/// Whether two causes tell the same thing of different bands.
fn is_same(one: &Cause, other: &Cause) -> bool {
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

fn rank(cause: &Cause) -> usize {
    match cause {
        DeviationCause::UnevenAxes { .. } => 0,
        DeviationCause::LowScattering { .. } => 1,
        DeviationCause::StrongAbsorber { .. } => 2,
        DeviationCause::Air { .. } => 3,
    }
}
