//! Keep-out and keep-clear rectangles within the room, and absorbers that make sense.

use super::TAPE_SLACK_M;
use super::context::{RuleContext, called};
use super::materials::Materials;
use super::panels::within_edges;
use crate::scene::constraints::{Absorber, KeepClear, KeepOut};
use crate::scene::model::Surface;
use crate::scene::problem::Problem;
use crate::scene::raw::{RawAbsorber, RawKeepClear, RawKeepOut};

/// An absorber of which nothing else is said hangs on a wall or the ceiling.
const USUAL: [Surface; 5] =
    [Surface::Front, Surface::Back, Surface::Left, Surface::Right, Surface::Ceiling];
/// As many as are to be had where nothing is said.
const USUAL_COUNT: f64 = 4.0;
/// The most of one kind.
const MOST: f64 = 64.0;

pub(super) fn keep_outs(context: &RuleContext<'_>) -> Vec<Option<KeepOut>> {
    context.raw.keep_outs.iter().map(|raw| keep_out(context, raw)).collect()
}

pub(super) fn keep_clears(context: &RuleContext<'_>) -> Vec<Option<KeepClear>> {
    context.raw.keep_clears.iter().map(|raw| keep_clear(context, raw)).collect()
}

pub(super) fn absorbers(
    context: &RuleContext<'_>,
    materials: &mut Materials<'_>,
) -> Vec<Option<Absorber>> {
    context.raw.absorbers.iter().map(|raw| absorber(context, materials, raw)).collect()
}

fn keep_out(context: &RuleContext<'_>, raw: &RawKeepOut) -> Option<KeepOut> {
    let what = called("keep-out", raw.name.as_ref());
    let size_m = raw.size.as_ref().and_then(|size| context.two_sides(&what, size));
    let corner = raw.corner.as_ref()?;
    let corner_m = corner.value.each_ref().map(|length| length.value);
    let keep_out = KeepOut { name: raw.name.as_ref()?.value.clone(), corner_m, size_m: size_m? };
    let Some(room) = context.room else { return Some(keep_out) };
    for (axis, low) in corner_m.into_iter().enumerate() {
        let length = room.size()[axis];
        let beyond = (-low).max(low + keep_out.size_m[axis] - length);
        if TAPE_SLACK_M < beyond {
            let place = corner.value[axis].span.clone();
            context.add(
                Problem::error("scene::outside-room", place, format!("{what} leaves the floor"))
                    .label(format!("{} too far", context.show(beyond)))
                    .help(
                        "give its corner nearest front and left wall, and its size along x and y",
                    ),
            );
            return None;
        }
    }
    Some(keep_out)
}

fn keep_clear(context: &RuleContext<'_>, raw: &RawKeepClear) -> Option<KeepClear> {
    let what = called("keep-clear", raw.name.as_ref());
    let size_m = raw.size.as_ref().and_then(|size| context.two_sides(&what, size))?;
    let written = raw.centre.as_ref()?;
    let centre_m = written.value.each_ref().map(|length| length.value);
    let on = raw.on.as_ref()?.value;
    let name = raw.name.as_ref()?.value.clone();
    within_edges(context, &what, Some(written), on, centre_m, size_m).then_some(KeepClear {
        name,
        on,
        centre_m,
        size_m,
    })
}

fn absorber(
    context: &RuleContext<'_>,
    materials: &mut Materials<'_>,
    raw: &RawAbsorber,
) -> Option<Absorber> {
    let what = called("absorber", raw.name.as_ref());
    let material = materials.resolve(raw.material.as_ref());
    let size_m = raw.size.as_ref().and_then(|size| context.two_sides(&what, size));
    let cost = context.cost(&what, raw.cost.as_ref());
    let count = raw.count.as_ref().map_or(Some(USUAL_COUNT), |count| {
        let help = "write how many there are to be had, a whole number";
        let whole =
            context.number_within(&format!("the count of {what}"), count, 1.0..=MOST, "", help)?;
        if whole.fract() == 0.0 {
            return Some(whole);
        }
        let message = format!("the count of {what} is not a whole number");
        let problem = Problem::error("scene::out-of-range", count.span.clone(), message);
        context.add(problem.label("pieces are not cut here").help(help));
        None
    });
    let weight_kg = match raw.weight_kg.as_ref() {
        None => Some(None),
        Some(weight) => context
            .number_within(
                &format!("the weight of {what}"),
                weight,
                0.01..=500.0,
                " kg",
                "give the weight of one in kilograms; leave it out when it is not known",
            )
            .map(Some),
    };
    let hang_m = match raw.hang.as_ref() {
        None => Some(None),
        Some(hang) => context
            .length_within(
                &format!("how far {what} hangs below the ceiling"),
                hang,
                0.01..=5.0,
                "measure from the ceiling to the middle of its thickness",
            )
            .map(Some),
    };
    let mut on = raw.on.as_ref().map_or_else(|| USUAL.to_vec(), |on| on.value.clone());
    on.sort_unstable();
    on.dedup();
    if let (true, Some(written)) = (on.is_empty(), raw.on.as_ref()) {
        let message = format!("{what} may be put nowhere");
        let problem = Problem::error("scene::out-of-range", written.span.clone(), message);
        context.add(problem.label("no surface").help("name surfaces, or leave `on` out"));
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 64")]
    let absorber = Absorber {
        name: raw.name.as_ref()?.value.clone(),
        size_m: size_m?,
        material: material?,
        cost: cost?,
        count: count? as usize,
        weight_kg: weight_kg?,
        may_turn: raw.may_turn.as_ref().is_none_or(|may| may.value),
        hang_m: hang_m?,
        on,
    };
    (!absorber.on.is_empty()).then_some(absorber)
}
