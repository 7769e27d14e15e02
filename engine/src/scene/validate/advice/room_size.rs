//! The size of the room: one outside what people mix in was often meant in another unit.

use crate::scene::model::Scene;
use crate::scene::problem::Problem;
use crate::scene::validate::context::RuleContext;
use std::ops::RangeInclusive;

/// Heights of ordinary rooms, metres: our choice.
const HEIGHT_M: RangeInclusive<f64> = 1.8..=6.0;

/// Volumes of ordinary rooms, cubic metres: our choice, somewhat beyond the 20 to 300 m³ or so that
/// recommendations on listening rooms have in mind.
const VOLUME_M3: RangeInclusive<f64> = 10.0..=400.0;

pub(super) fn check(scene: &Scene, context: &RuleContext<'_>) {
    const HELP: &str = "check the numbers and their units: a room in feet written in metres is three times too large";
    let Some(raw) = &context.raw.room else { return };
    let [length, _, height] = raw.size.each_ref();
    let room = scene.room();
    if let Some(height) = height.as_ref().filter(|_| !HEIGHT_M.contains(&room.height_m)) {
        let message = format!("the room is {} high", context.show(room.height_m));
        let usual = HEIGHT_M.clone();
        let [low, high] = [*usual.start(), *usual.end()].map(|m| context.show(m));
        context.add(
            Problem::warning("scene::unusual-height", height.span.clone(), message)
                .label(format!("most are {low} to {high}"))
                .help(HELP),
        );
    } else if let Some(length) = length.as_ref().filter(|_| !VOLUME_M3.contains(&room.volume_m3()))
    {
        let message = format!("the room holds {:.0} m³ of air", room.volume_m3());
        context.add(
            Problem::warning("scene::unusual-volume", length.span.clone(), message)
                .label(format!("most hold {} to {} m³", VOLUME_M3.start(), VOLUME_M3.end()))
                .help(HELP),
        );
    }
}
