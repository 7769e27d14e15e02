//! Unevenness of the bass over the floor, with the present seat, the flattest and the usual one.

use crate::canvas::{Dash, Drawing, Outline, Point, Rect};
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::{ActiveSpeakers, SeatMaps, uneven_span_of};
use crate::plot::colormap::{BAR, Colormap};
use crate::plot::contour::GridField;
use crate::plot::data::from_trace::room_alone;
use crate::plot::maps::map_sheet::MapSheet;
use crate::plot::palette::{self, dashed, line};
use crate::plot::room::projection::{Side, View};
use crate::plot::sheet::lengths;
use earline_engine::analysis::setting_out::SEAT_FRACTION;
use earline_engine::wave_field::{FlattestSeat, SPEAKER_CLEARANCE_M, SeatMap};
use glam::{DVec2, DVec3};

/// Shades, the darkest for the flattest.
const SHADES: usize = 8;

/// Lays out the map of one listener's height; `None` where there is none.
pub(crate) fn bass_seats(
    sounded: &WaveFieldView<'_>,
    active: &ActiveSpeakers,
    mapped: &SeatMaps,
) -> Option<Drawing> {
    let map = mapped.seats.as_ref()?;
    let input = room_alone(sounded.scene, sounded.state, &active.speakers, mapped.listener)?;
    let mut sheet = MapSheet::new(&input, Side::Plan, "Unevenness of the bass over the floor");
    let colormap = colormap(map);
    let view = sheet.view;
    let at = |row: f64, column: f64| place(map, &view, row, column);
    colormap.fill(&mut sheet.canvas, &GridField { figures: &map.unevenness_db, at: &at });
    seats(&mut sheet, map);
    let usual = usual(&mut sheet, sounded, active);
    let seat = shown(&input.listener.name, mapped.unevenness_db);
    sheet.things(&input, &seat);
    for (spot, name) in
        [(map.flattest, "most even"), (between_apart(map), "most even between the speakers")]
    {
        if let Some(spot) = spot {
            mark(&mut sheet, spot.at);
            let at = sheet.view.at(spot.at);
            sheet.labels.name(&shown(name, Some(spot.unevenness_db)), at, 1.9, None);
        }
    }
    sheet.labels.name("38 % of the length", usual, 1.2, None);
    describe(&mut sheet, sounded, active, mapped, &colormap);
    let title = format!("{}: unevenness of the bass over the floor", sounded.scene.title());
    Some(sheet.finish("bass-seats", title))
}

/// The flattest between the speakers, where it is not the flattest of all.
fn between_apart(map: &SeatMap) -> Option<FlattestSeat> {
    let near = |one: &FlattestSeat| {
        map.flattest.is_some_and(|best| best.at.distance(one.at) < 2.0 * step_m(map))
    };
    map.flattest_on_median.filter(|one| !near(one))
}

fn step_m(map: &SeatMap) -> f64 {
    map.x_m.windows(2).map(|two| two[1] - two[0]).next().unwrap_or_default()
}

fn shown(name: &str, unevenness_db: Option<f64>) -> String {
    unevenness_db.map_or_else(|| name.to_owned(), |db| format!("{name}, {db:.1} dB"))
}

/// Steps that are read off, from the flattest seat on; what is worse than they reach is the lightest.
fn colormap(map: &SeatMap) -> Colormap {
    let places = map.unevenness_db.iter().flatten().zip(map.clearance_m.iter().flatten());
    let seats = places.filter(|(db, clear_m)| db.is_finite() && 0.0 <= **clear_m);
    let mut seats: Vec<f64> = seats.map(|(db, _)| *db).collect();
    seats.sort_by(f64::total_cmp);
    let best = seats.first().copied().unwrap_or_default();
    // The worst twentieth is corners and valleys of many modes.
    let worst = seats.get(seats.len() * 19 / 20).copied().unwrap_or(best);
    let wanted = (worst - best) / SHADES as f64;
    let step = [0.1, 0.25, 0.5, 1.0, 2.0].into_iter().find(|step| wanted <= *step).unwrap_or(4.0);
    Colormap::cost((best / step).floor() * step, step, SHADES)
}

/// Position of a row and column of the map, whole or between, on the sheet.
fn place(map: &SeatMap, view: &View, row: f64, column: f64) -> Point {
    let at = |all: &[f64], index: f64| {
        let [first, last] = [all.first(), all.last()].map(|m| m.copied().unwrap_or_default());
        first + (last - first) * index / all.len().saturating_sub(1).max(1) as f64
    };
    view.at(DVec3::new(at(&map.x_m, row), at(&map.y_m, column), map.height_m))
}

/// A dashed line about where somebody could listen.
fn seats(sheet: &mut MapSheet, map: &SeatMap) {
    let view = sheet.view;
    let at = |row: f64, column: f64| place(map, &view, row, column);
    let rings = GridField { figures: &map.clearance_m, at: &at }.contours(0.0);
    let edge = dashed(palette::INK, 0.22, Dash::Short);
    sheet.canvas.shape(Outline::Rings(rings), None, Some(edge));
}

/// 38 % of the length, where many people begin, with a cross on the line between the speakers.
fn usual(sheet: &mut MapSheet, sounded: &WaveFieldView<'_>, active: &ActiveSpeakers) -> Point {
    let room = sounded.scene.room();
    let x = SEAT_FRACTION * room.length_m;
    let ends = [0.0, room.width_m].map(|y| sheet.view.at(DVec3::new(x, y, 0.0)));
    let stroke = dashed(palette::TOLERANCE_EDGE, 0.35, Dash::Chain);
    sheet.canvas.polyline(ends.to_vec(), stroke);
    let speakers = active.speakers.iter().map(|&id| &sounded.scene[id]);
    let sides: Vec<f64> = speakers.map(|speaker| speaker.at.y).collect();
    let y = if sides.len() == 2 { sides.iter().sum::<f64>() / 2.0 } else { room.width_m / 2.0 };
    let cross = sheet.view.at(DVec3::new(x, y, 0.0));
    for way in [DVec2::new(1.3, 1.3), DVec2::new(1.3, -1.3)] {
        for (colour, width) in [(palette::PAPER, 1.1), (palette::INK, 0.5)] {
            sheet.canvas.polyline(vec![cross - way, cross + way], line(colour, width));
        }
    }
    sheet.canvas.solid.push(Rect::around(cross, DVec2::splat(3.0)));
    cross
}

/// A ring with a dot.
fn mark(sheet: &mut MapSheet, at: DVec3) {
    let at = sheet.view.at(at);
    sheet.canvas.circle(at, 1.8, Some(palette::PAPER), Some(line(palette::INK, 0.35)));
    sheet.canvas.circle(at, 0.7, Some(palette::INK), None);
    sheet.canvas.solid.push(Rect::around(at, DVec2::splat(3.8)));
}

fn describe(
    sheet: &mut MapSheet,
    sounded: &WaveFieldView<'_>,
    active: &ActiveSpeakers,
    mapped: &SeatMaps,
    colormap: &Colormap,
) {
    let Some(map) = &mapped.seats else { return };
    let space = sheet.bar_space(BAR);
    colormap.bar(&mut sheet.canvas, "Unevenness, dB; darker is more even", space);
    sheet.says(
        &format!("{}: {}", active.together(), uneven_span_of(sounded, active.range_hz(sounded))),
        true,
    );
    let units = sounded.scene.units();
    let mark = |m: f64| lengths::written(m, units);
    if let Some(db) = mapped.unevenness_db {
        sheet.says(&format!("{}: {db:.1} dB as it is.", sounded.listener(mapped.listener)), false);
    }
    for (spot, name) in [
        (map.flattest, "Most even on this map"),
        (between_apart(map), "Most even as far from one speaker as from the other"),
    ] {
        if let Some(FlattestSeat { at, unevenness_db }) = spot {
            let says = format!(
                "{name}: {unevenness_db:.1} dB, {} from the front wall, {} from the left one.",
                mark(at.x),
                mark(at.y)
            );
            sheet.says(&says, false);
        }
    }
    let seats = format!(
        "The most even place was looked for within the dashed line: in front of the speakers, {} or more \
         from each, clear of furniture and keep-outs.",
        mark(SPEAKER_CLEARANCE_M)
    );
    sheet.says(&seats, false);
    let about = format!(
        "Ears {} up, a place every {}. Even bass may still be too loud or too weak, and a seat has to suit \
         the speakers as well: try it, then measure.",
        mark(map.height_m),
        mark(step_m(map)),
    );
    sheet.says(&about, false);
    sheet.says(
        "Green line: 38 % of the length, where many people begin, and no more than that.",
        false,
    );
}
