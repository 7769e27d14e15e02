//! Rounding of the best layouts to whole millimetres, and their sensitivity to placement errors.

use super::Bounds;
use super::evaluate::{EvaluatedLayout, Evaluator};
use super::layout::{Layout, PARAMETERS, Parameter};

/// Perturbation of a length in the sensitivity analysis, metres.
pub const PERTURBATION_M: f64 = 0.03;

/// The layouts rounded to whole millimetres, best first. One that is infeasible when rounded stays as it is.
pub(super) fn round_to_tape(
    evaluator: &Evaluator<'_>,
    bounds: &Bounds,
    free: &[Parameter],
    best: Vec<EvaluatedLayout>,
) -> Vec<EvaluatedLayout> {
    let rounded = |one: EvaluatedLayout| {
        let layout = in_millimetres(bounds, free, one.layout, evaluator.plan.equilateral);
        evaluator.evaluate(&layout).map_or(one, |objective| EvaluatedLayout { layout, objective })
    };
    let mut best: Vec<EvaluatedLayout> = best.into_iter().map(rounded).collect();
    best.sort_by(|a, b| a.objective.cost_db.total_cmp(&b.objective.cost_db));
    best
}

/// Free lengths to a millimetre; the base to two, so that half of it is whole. A triangle that closed
/// still does, to half a millimetre.
fn in_millimetres(bounds: &Bounds, free: &[Parameter], layout: Layout, closes: bool) -> Layout {
    let mut rounded = layout;
    for &parameter in free {
        let steps = if parameter == Parameter::Base { 500.0 } else { 1000.0 };
        rounded.set(parameter, bounds.get(parameter).to_step(layout.get(parameter), steps));
    }
    if closes && layout.triangle_error_m().abs() < 0.001 {
        rounded.close_triangle();
        rounded.speaker_distance_m = (rounded.speaker_distance_m * 1000.0).round() / 1000.0;
    }
    rounded
}

/// By how many decibels a layout gets worse at most when one of its lengths is [`PERTURBATION_M`] more or less
/// than it should be, the others held; perturbations that cannot be are left out. Where the axes cross is not
/// a length on the floor, and left out too.
pub(super) fn sensitivity_db(evaluator: &Evaluator<'_>, one: &EvaluatedLayout) -> f64 {
    let lengths = PARAMETERS.into_iter().filter(|parameter| *parameter != Parameter::Converge);
    let perturbations = lengths
        .flat_map(|parameter| [-PERTURBATION_M, PERTURBATION_M].map(|by_m| (parameter, by_m)));
    let worse = perturbations.filter_map(|(parameter, by_m)| {
        let mut layout = one.layout;
        layout.set(parameter, layout.get(parameter) + by_m);
        Some(evaluator.evaluate(&layout).ok()?.cost_db - one.objective.cost_db)
    });
    worse.fold(0.0, f64::max)
}
