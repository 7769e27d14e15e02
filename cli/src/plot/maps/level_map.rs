//! The level of one frequency over the room, from above and from the side.

use crate::canvas::Drawing;
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::{ActiveSpeakers, LevelMaps};
use crate::plot::colormap::{BAR, Colormap};
use crate::plot::contour::GridField;
use crate::plot::data::from_trace::room_alone;
use crate::plot::maps::map_sheet::MapSheet;
use crate::plot::room::projection::Side;
use crate::plot::sheet::lengths;
use earline_engine::wave_field::{MapPlane, PressureMap};
use glam::DVec3;

/// Shades and their steps, decibels.
const SHADES: usize = 10;
const STEP_DB: f64 = 4.0;
/// Closer to a speaker its own near field tells nothing of the room, metres.
const NEAR_M: f64 = 0.6;

/// Lays out one of the maps of level; `is_dip` where the frequency is that of the seat's deepest dip.
pub(crate) fn bass_levels(
    sounded: &WaveFieldView<'_>,
    active: &ActiveSpeakers,
    levels: &LevelMaps,
    map: &PressureMap,
    is_dip: bool,
) -> Option<Drawing> {
    let input = room_alone(sounded.scene, sounded.state, &active.speakers, levels.listener)?;
    let units = sounded.scene.units();
    let (side, name, kind, through) = match map.plane {
        MapPlane::Plan { height_m } => (
            Side::Plan,
            "bass-plan",
            "from above",
            format!("Level plane through the ears, {} up.", lengths::written(height_m, units)),
        ),
        MapPlane::Section { left_m } => (
            Side::Section,
            "bass-section",
            "from the left",
            format!(
                "Upright plane through the head, {} from the left wall.",
                lengths::written(left_m, units)
            ),
        ),
    };
    let mut sheet = MapSheet::new(&input, side, &format!("Level at {:.0} Hz, {kind}", map.hz));
    let colormap = Colormap::level(highest_db(sounded, active, map), STEP_DB, SHADES);
    let view = sheet.view;
    let last = |all: &[f64]| all.last().copied().unwrap_or_default();
    let steps =
        [&map.x_m, &map.ordinate_m].map(|all| last(all) / (all.len() as f64 - 1.0).max(1.0));
    let at = |row: f64, column: f64| view.at(map.plane.at(steps[0] * row, steps[1] * column));
    colormap.fill(&mut sheet.canvas, &GridField { figures: &map.level_db, at: &at });
    sheet.things(&input, &format!("{}, {} dB", input.listener.name, whole(levels.here_db)));
    let space = sheet.bar_space(BAR);
    colormap.bar(&mut sheet.canvas, "Level against one speaker 1 m away in the open, dB", space);
    sheet.says(&format!("{}: one steady tone of {:.1} Hz", active.together(), map.hz), true);
    sheet.says(&through, false);
    if is_dip {
        let says = format!(
            "{:.0} Hz is where the response at “{}” has its deepest dip; --at shows another frequency.",
            map.hz, input.listener.name
        );
        sheet.says(&says, false);
    }
    let says = "Dark: loud. Light valleys: hardly anything of this tone is heard there. Moving the seat out of \
                a valley, or the speakers so that the valley moves, mends a dip.";
    sheet.says(says, false);
    if !sounded.found.neglected.is_empty() {
        let names = sounded.found.neglected.join(", ");
        sheet.says(&format!("Drawn, but not in the solution: {names}."), false);
    }
    let title = format!("{}: level of the bass at {:.0} Hz, {kind}", sounded.scene.title(), map.hz);
    Some(sheet.finish(name, title))
}

/// The highest level away from the speakers, up to a step that is read off.
fn highest_db(sounded: &WaveFieldView<'_>, active: &ActiveSpeakers, map: &PressureMap) -> f64 {
    let speakers: Vec<DVec3> = active.speakers.iter().map(|&id| sounded.scene[id].at).collect();
    let away = |at: DVec3| speakers.iter().all(|speaker| NEAR_M < speaker.distance(at));
    let mut highest = f64::NEG_INFINITY;
    for (&x, row) in map.x_m.iter().zip(&map.level_db) {
        for (&other, &db) in map.ordinate_m.iter().zip(row) {
            if away(map.plane.at(x, other)) {
                highest = highest.max(db);
            }
        }
    }
    if highest.is_finite() { (highest / STEP_DB).ceil() * STEP_DB } else { 0.0 }
}

fn whole(db: f64) -> String {
    if !db.is_finite() {
        return "no".to_owned();
    }
    let text = format!("{db:+.0}");
    if text == "-0" || text == "+0" { "0".to_owned() } else { text.replace('-', "\u{2212}") }
}
