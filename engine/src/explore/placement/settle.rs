//! The best layouts, to lengths that a tape has, and how much hangs on a few centimetres of them.

use super::Bounds;
use super::judge::Judge;
use super::layout::{Layout, PARAMETERS, Parameter};
use super::search::Judged;

/// How far a length is moved to see what hangs on it, metres.
pub const SLIP_M: f64 = 0.03;

/// The same layouts to whole millimetres, best first. One that cannot be so stays as it is.
pub(super) fn settle(
    judge: &Judge<'_>,
    bounds: &Bounds,
    free: &[Parameter],
    best: Vec<Judged>,
) -> Vec<Judged> {
    let settled = |one: Judged| {
        let layout = in_millimetres(bounds, free, one.layout, judge.plan.equilateral);
        judge.judge(&layout).map_or(one, |objective| Judged { layout, objective })
    };
    let mut best: Vec<Judged> = best.into_iter().map(settled).collect();
    best.sort_by(|a, b| a.objective.sum_db.total_cmp(&b.objective.sum_db));
    best
}

/// Free lengths to a millimetre; the base to two, so that half of it is whole. A triangle that closed
/// still does, to half a millimetre.
fn in_millimetres(bounds: &Bounds, free: &[Parameter], layout: Layout, closes: bool) -> Layout {
    let mut settled = layout;
    for &parameter in free {
        let steps = if parameter == Parameter::Base { 500.0 } else { 1000.0 };
        settled.set(parameter, bounds.get(parameter).to_step(layout.get(parameter), steps));
    }
    if closes && layout.triangle_error_m().abs() < 0.001 {
        settled.close_triangle();
        settled.front_m = (settled.front_m * 1000.0).round() / 1000.0;
    }
    settled
}

/// By how many decibels a layout gets worse at most when one of its lengths is [`SLIP_M`] more or less
/// than it should be, the others held; slips that cannot be are left out. Where the axes cross is not
/// a length on the floor, and left out too.
pub(super) fn slip_db(judge: &Judge<'_>, one: &Judged) -> f64 {
    let lengths = PARAMETERS.into_iter().filter(|parameter| *parameter != Parameter::Converge);
    let slips = lengths.flat_map(|parameter| [-SLIP_M, SLIP_M].map(|slip_m| (parameter, slip_m)));
    let worse = slips.filter_map(|(parameter, slip_m)| {
        let mut layout = one.layout;
        layout.set(parameter, layout.get(parameter) + slip_m);
        Some(judge.judge(&layout).ok()?.sum_db - one.objective.sum_db)
    });
    worse.fold(0.0, f64::max)
}
