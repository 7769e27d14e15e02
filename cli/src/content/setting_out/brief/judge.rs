//! How a layout does: left against right, the triangle, and the height of the axes.

use super::super::{SettingOutSheet, image};
use crate::content::document::{Finding, Grade};
use crate::format::length;
use earline_engine::analysis::setting_out::{
    CentreImage, CheckDistance, Lean, PairAtSeat, PairLayout,
};
use earline_engine::scene::{ListenerId, SpeakerKind};
use std::cmp::Reverse;

/// The angle of an equilateral triangle, degrees, and where it is published.
const ANGLE_DEG: f64 = 60.0;
const ANGLE_FROM: &str = "ITU-R BS.775-3";
/// What is published of a delay between left and right.
const DELAY_LIMIT: &str = " (ITU-R BS.1116, from memory: at most 100 µs)";
/// An axis that passes the ears no farther off counts as level with them, metres: our choice.
const LEVEL_M: f64 = 0.05;
/// From this tilt on an axis passes no ears, degrees.
const STEEP_DEG: f64 = 60.0;
/// Triangles of so many pairs are judged one by one.
const PAIRS_SHOWN: usize = 2;

/// All that is judged.
pub(super) fn findings(sheet: &SettingOutSheet<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = match_of_sides(sheet).into_iter().collect();
    let mut triangles: Vec<Finding> =
        sheet.out.pairs.iter().filter_map(|pair| triangle(sheet, pair)).collect();
    triangles.sort_by_key(|finding| Reverse(finding.grade));
    triangles.truncate(PAIRS_SHOWN);
    findings.extend(triangles);
    if sheet.out.pairs.is_empty() {
        let text = "No pair of speakers: no triangle to check, no left and right to match.";
        findings.push(Finding::new(Grade::Fair, text));
    }
    findings.extend(heights(sheet));
    findings
}

/// The seat at which the triangle of a pair is nearest to closed.
pub(super) fn nearest_seat(pair: &PairLayout) -> Option<&PairAtSeat> {
    let away = |seat: &PairAtSeat| seat.lean.as_ref().map_or(f64::INFINITY, Lean::distance_m);
    pair.seats.iter().min_by(|a, b| away(a).total_cmp(&away(b)))
}

/// Whether the angle is that of the triangle, as far as a change of it counts.
pub(super) fn is_closed(sheet: &SettingOutSheet<'_>, seat: &PairAtSeat) -> bool {
    (seat.base_angle_deg - ANGLE_DEG).abs() < sheet.care.thresholds.base_angle_deg
}

/// Whether left and right are so nearly alike that nobody hears it.
pub(super) fn matches(sheet: &SettingOutSheet<'_>, seat: &PairAtSeat) -> bool {
    sheet.farther(&seat.mismatch).is_none() || seat.mismatch.image == CentreImage::Steady
}

/// Left against right, where they differ most.
fn match_of_sides(sheet: &SettingOutSheet<'_>) -> Option<Finding> {
    let seats = sheet.out.pairs.iter().flat_map(|pair| pair.seats.iter().map(move |s| (pair, s)));
    let (pair, seat) = seats.max_by(|(_, a), (_, b)| {
        let apart = |seat: &PairAtSeat| seat.mismatch.left_farther_m.abs();
        apart(a).total_cmp(&apart(b))
    })?;
    let name = sheet.listener(seat.listener);
    let Some(farther) = sheet.farther(&seat.mismatch) else {
        let seats = if one_seat(sheet) { name } else { "every seat" };
        let text = format!("Left and right match at {seats}, as far as a tape tells.");
        return Some(Finding::new(Grade::Good, text));
    };
    let grade = match seat.mismatch.image {
        CentreImage::Steady => Grade::Good,
        CentreImage::Leans => Grade::Fair,
        CentreImage::Pulled | CentreImage::Captured => Grade::Poor,
    };
    let limit = if grade == Grade::Good { "" } else { DELAY_LIMIT };
    // The rest says where its bounds are from, and what a level trim does not mend.
    let image = image(&seat.mismatch).split([';', ',']).next().unwrap_or_default();
    let of = if sheet.out.pairs.len() < 2 { String::new() } else { format!("{}, ", pair.name) };
    Some(Finding::new(grade, format!("{of}{name}: {farther}{limit}: {image}.")))
}

fn one_seat(sheet: &SettingOutSheet<'_>) -> bool {
    sheet.out.pairs.iter().all(|pair| pair.seats.len() < 2)
}

/// The triangle of a pair at its nearest seat, and the angles at the others.
fn triangle(sheet: &SettingOutSheet<'_>, pair: &PairLayout) -> Option<Finding> {
    let nearest = nearest_seat(pair)?;
    let grade = match nearest.lean {
        _ if is_closed(sheet, nearest) => Grade::Good,
        Some(lean) if lean.is_within_reach() => Grade::Fair,
        _ => Grade::Poor,
    };
    let word = if grade == Grade::Good { "closes" } else { "is open" };
    let others = pair.seats.iter().filter(|seat| seat.listener != nearest.listener);
    let others: Vec<String> = others
        .map(|seat| format!("{:.1}° at {}", seat.base_angle_deg, sheet.listener(seat.listener)))
        .collect();
    let others = if others.is_empty() { String::new() } else { format!("; {}", others.join(", ")) };
    let text = format!(
        "Triangle of {} {word} at {}: {:.1}° against {ANGLE_DEG:.0}° ({ANGLE_FROM}){others}.",
        pair.name,
        sheet.listener(nearest.listener),
        nearest.base_angle_deg,
    );
    Some(Finding::new(grade, text))
}

/// The axis that passes the ears of a seat at the greatest height from them.
fn heights(sheet: &SettingOutSheet<'_>) -> Option<Finding> {
    let mut seats: Vec<(ListenerId, f64)> = Vec::new();
    for reach in &sheet.out.check_distances {
        // Of a subwoofer the axis does not matter.
        if sheet.scene[reach.speaker].kind == SpeakerKind::Subwoofer {
            continue;
        }
        let Some(above_m) = axis_above_ears_m(sheet, reach) else { continue };
        match seats.iter_mut().find(|(seat, _)| *seat == reach.listener) {
            Some((_, known)) if known.abs() < above_m.abs() => *known = above_m,
            Some(_) => {}
            None => seats.push((reach.listener, above_m)),
        }
    }
    let is_level = |above_m: f64| above_m.abs() <= LEVEL_M;
    let level: Vec<&str> =
        seats.iter().filter(|(_, m)| is_level(*m)).map(|(seat, _)| sheet.listener(*seat)).collect();
    let off = seats.iter().filter(|(_, m)| !is_level(*m)).map(|(seat, above_m)| {
        let way = if *above_m < 0.0 { "below" } else { "above" };
        let far = length::offset(above_m.abs(), sheet.units);
        format!("{far} {way} the ears at {}", sheet.listener(*seat))
    });
    let at_level =
        (!level.is_empty()).then(|| format!("level with the ears at {}", level.join(", ")));
    let grade = if level.is_empty() { Grade::Fair } else { Grade::Good };
    let parts: Vec<String> = at_level.into_iter().chain(off.take(2)).collect();
    (!parts.is_empty())
        .then(|| Finding::new(grade, format!("Speaker axes pass {}.", parts.join("; "))))
}

/// Height of a speaker's axis above the ears where it has come as far as they are, metres; `None` where it is
/// too steep to come there.
fn axis_above_ears_m(sheet: &SettingOutSheet<'_>, reach: &CheckDistance) -> Option<f64> {
    let turn = sheet.out.turns.iter().find(|turn| turn.speaker == reach.speaker);
    let tilt_deg = turn.map_or(0.0, |turn| turn.tilt_deg);
    let rise_m = reach.floor_m * tilt_deg.to_radians().tan();
    (tilt_deg.abs() < STEEP_DEG).then_some(reach.above_ears_m + rise_m)
}
