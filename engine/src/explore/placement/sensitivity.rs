//! The best layouts, to lengths that a tape has, and how much hangs on a few centimetres of them.

use super::Bounds;
use super::evaluate::Evaluator;
use super::layout::{Layout, PARAMETERS, Parameter};
use super::search::Evaluated;

/// How far a length is moved to see what hangs on it, metres.
pub const PERTURBATION_M: f64 = 0.03;

/// The same layouts to whole millimetres, best first. One that cannot be so stays as it is.
pub(super) fn round_to_tape(
    evaluator: &Evaluator<'_>,
    bounds: &Bounds,
    free: &[Parameter],
    best: Vec<Evaluated>,
) -> Vec<Evaluated> {
    let rounded = |one: Evaluated| {
        let layout = in_millimetres(bounds, free, one.layout, evaluator.plan.equilateral);
        evaluator.evaluate(&layout).map_or(one, |objective| Evaluated { layout, objective })
    };
    let mut best: Vec<Evaluated> = best.into_iter().map(rounded).collect();
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
/// than it should be, the others held; slips that cannot be are left out. Where the axes cross is not
/// a length on the floor, and left out too.
pub(super) fn sensitivity_db(evaluator: &Evaluator<'_>, one: &Evaluated) -> f64 {
    let lengths = PARAMETERS.into_iter().filter(|parameter| *parameter != Parameter::Converge);
    let slips = lengths
        .flat_map(|parameter| [-PERTURBATION_M, PERTURBATION_M].map(|slip_m| (parameter, slip_m)));
    let worse = slips.filter_map(|(parameter, slip_m)| {
        let mut layout = one.layout;
        layout.set(parameter, layout.get(parameter) + slip_m);
        Some(evaluator.evaluate(&layout).ok()?.cost_db - one.objective.cost_db)
    });
    worse.fold(0.0, f64::max)
}
