//! Each speaker's distance and direction, and how well the sides of a pair match.

use super::{TraceReport, side_behind};
use crate::format::direction;
use crate::format::length;
use crate::io::terminal::{ALERT, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented};
use earline_engine::scene::Side;
use earline_engine::simulate::PairSimulation;

pub(super) fn lines(told: &TraceReport<'_>, listener: usize, width: usize) -> Vec<String> {
    let here: Vec<&PairSimulation> =
        told.trace.pairs.iter().filter(|pair| pair.listener == listener).collect();
    let mut table = Table::new(vec![
        ("Speaker", Lean::Left),
        ("Distance", Lean::Right),
        ("Arrives", Lean::Right),
        ("Comes", Lean::Left),
    ]);
    for pair in &here {
        let under = if pair.direct.occluded {
            vec![format!("{ALERT}something stands in its way{ALERT:#}")]
        } else {
            Vec::new()
        };
        table.row(
            vec![
                Cell::plain(&told.scene.speakers()[pair.speaker].name),
                Cell::plain(length::length(pair.direct.distance_m, told.units())),
                Cell::plain(format!("{:.2} ms", pair.direct.time_s * 1000.0)),
                Cell::plain(direction::words(pair.direct.azimuth_deg, pair.direct.elevation_deg)),
            ],
            under,
        );
    }
    let mut lines = table.lines(width, QUIET);
    for pair in &here {
        if let Some(other) = right_of(told, pair, &here) {
            lines.extend(indented(&matched(told, pair, other), 2, width));
        }
    }
    lines
}

/// The right speaker of the pair whose left one this is, among those traced here.
fn right_of<'a>(
    told: &TraceReport<'_>,
    pair: &PairSimulation,
    here: &[&'a PairSimulation],
) -> Option<&'a PairSimulation> {
    let side_of = |p: &PairSimulation| told.scene.speakers()[p.speaker].pair.as_ref();
    let (name, Side::Left) = side_of(pair)? else { return None };
    here.iter().copied().find(|p| side_of(p).is_some_and(|(n, s)| n == name && *s == Side::Right))
}

/// How well the two match: angle, distance and time.
fn matched(told: &TraceReport<'_>, left: &PairSimulation, right: &PairSimulation) -> String {
    let name = told.scene.speakers()[left.speaker].pair.as_ref().map_or("", |(name, _)| name);
    let at = told.scene.listeners()[left.listener].at;
    let toward = |p: &PairSimulation| told.scene.speakers()[p.speaker].at - at;
    let angle = toward(left).angle_between(toward(right)).to_degrees();
    let farther = left.direct.distance_m - right.direct.distance_m;
    let later_s = left.direct.time_s - right.direct.time_s;
    let matched = side_behind(farther, later_s, told.units())
        .unwrap_or_else(|| "their distances match".to_owned());
    format!("{name}: {angle:.0}° between left and right; {matched}")
}
