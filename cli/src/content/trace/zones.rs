//! Where a panel would work: for each surface the part that makes its first reflections.

use super::TraceReport;
use super::seat::{SeatReflections, Suggestion};
use crate::content::document::{Cell, Column, Document, Table, Tone};
use crate::content::numbering::Numbered;
use crate::format::both_sides::both_sides;
use crate::format::sentence::capital;
use crate::format::{labels, length, level, number};
use earline_engine::analysis::zones::{Coverage, CoverageClass, PanelShare, SurfaceZone, ZonePlan};
use earline_engine::geometry::FaceId;
use earline_engine::scene::{ListenerId, Scene, Surface, Units};
use std::borrow::Cow;

/// Heading over the zones.
pub(crate) const HEADING: &str = "Where a panel would work";

/// The zones at a seat, the surface with the strongest first reflection on top.
pub(crate) fn document(
    report: &TraceReport<'_>,
    listener: ListenerId,
    numbered: &[Numbered<'_>],
) -> Document {
    let mut document = Document::default();
    let Some(seat) = report.zones.iter().find(|seat| seat.listener == listener) else {
        return document;
    };
    let mut surfaces: Vec<(f64, &SurfaceZone)> =
        seat.surfaces.iter().map(|zone| (loudest_db(numbered, zone.surface), zone)).collect();
    surfaces.sort_by(|(a, _), (b, _)| level::loudest_first(*a, *b));
    let columns = vec![
        Column::left("Surface"),
        Column::right("Level"),
        Column::left("Zone"),
        Column::left("Now"),
    ];
    let mut table = Table::new("The parts of the surfaces that make first reflections", columns);
    for (level_db, zone) in surfaces {
        let level =
            if level_db.is_finite() { level::with_unit(level_db) } else { level::bare(level_db) };
        let cells = vec![
            Cell::plain(labels::surface(zone.surface)),
            Cell::plain(level),
            Cell::toned(word(zone), tone(zone)),
            Cell::plain(now(report.scene, zone)),
        ];
        let (low, high) = (zone.together.low_m, zone.together.high_m);
        table.row(cells).note(length::reach(zone.surface, low, high, report.units()));
    }
    document.heading(HEADING);
    document.note(note(report.zone_plan, report.units(), ON_THE_ELEVATIONS)).table(table);
    document
}

const ON_THE_ELEVATIONS: &str = ". Zone by zone on the elevations.";

/// The zones in a sentence, and `more` about them.
pub(crate) fn note(plan: &ZonePlan, units: Units, more: &str) -> String {
    format!(
        "The part of each surface that makes the first reflections of these speakers at {} Hz, for \
         a head that moves either way by {} (--zone-hz and --head change that){more}",
        plan.frequency_hz,
        head(plan, units),
    )
}

/// How far the head moves: `150 mm`, `5 7/8 in`.
fn head(plan: &ZonePlan, units: Units) -> String {
    match units {
        Units::Metric => length::offset(plan.head_half_m, units),
        Units::Imperial => length::length(plan.head_half_m, units),
    }
}

/// The strongest first reflection off a surface, decibels; negative infinity if none arrives.
pub(crate) fn loudest_db(numbered: &[Numbered<'_>], surface: Surface) -> f64 {
    let is_off = |n: &&Numbered<'_>| {
        let bounces = n.reflection.arrival.bounces.as_slice();
        matches!(bounces, [only] if only.face == FaceId::Surface(surface))
    };
    let levels = numbered.iter().filter(is_off).map(|n| n.reflection.level_db);
    levels.fold(f64::NEG_INFINITY, f64::max)
}

/// Whether something stands before the middle of the zone for every speaker.
pub(crate) fn is_screened(zone: &SurfaceZone) -> bool {
    zone.speakers.iter().all(|speaker| speaker.behind.is_some())
}

/// How well a zone is treated, in a word.
pub(crate) fn word(zone: &SurfaceZone) -> &'static str {
    match zone.together.coverage.class {
        _ if is_screened(zone) => "screened",
        CoverageClass::Covered => "covered",
        CoverageClass::HalfCovered => "half covered",
        CoverageClass::Missed => "not covered",
    }
}

/// The tone of that word.
pub(crate) fn tone(zone: &SurfaceZone) -> Tone {
    match zone.together.coverage.class {
        _ if is_screened(zone) => Tone::Quiet,
        CoverageClass::Covered => Tone::Good,
        CoverageClass::HalfCovered => Tone::Plain,
        CoverageClass::Missed => Tone::Alert,
    }
}

/// Things before the middle of a zone, for any speaker.
pub(crate) fn before<'a>(scene: &'a Scene, zone: &SurfaceZone) -> Vec<Cow<'a, str>> {
    let mut names: Vec<Cow<str>> = Vec::new();
    for face in zone.speakers.iter().filter_map(|speaker| speaker.behind) {
        let name = labels::thing(scene, face);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// The cover of a zone, and things before it.
pub(crate) fn now(scene: &Scene, zone: &SurfaceZone) -> String {
    let mut words = covers(scene, &zone.together.coverage);
    let before = before(scene, zone);
    let of = if is_screened(zone) { "" } else { " for some speakers" };
    words.extend(
        (!before.is_empty()).then(|| format!("{} before its middle{of}", before.join(" and "))),
    );
    if words.is_empty() { "bare".to_owned() } else { words.join("; ") }
}

fn covers(scene: &Scene, covering: &Coverage) -> Vec<String> {
    let panel = |share: &PanelShare| {
        let name = scene.panels().get(share.panel).map_or("panel", |panel| &panel.name);
        let hard = if share.absorbs { "" } else { " (reflects)" };
        format!("{name}{hard} over {}", percent(share.share))
    };
    covering.panels.iter().map(panel).collect()
}

/// `44 %`, never nought for what is there.
pub(crate) fn percent(share: f64) -> String {
    number::percent(share.max(0.01))
}

/// A first reflection so far under the limit needs no panel, decibels: our choice.
const QUIET_ENOUGH_DB: f64 = -10.0;

/// Where a panel would still work: zones that are not covered and whose first reflection, within the limit,
/// comes near it. Each surface at the seat where it is loudest; side walls that mirror each other as one.
pub(super) fn suggestions(
    report: &TraceReport<'_>,
    seats: &[SeatReflections<'_>],
) -> Vec<Suggestion> {
    let mut open: Vec<(f64, &SurfaceZone)> = Vec::new();
    for seat in seats {
        let zones = report.zones.iter().find(|zones| zones.listener == seat.listener);
        for zone in zones.iter().flat_map(|zones| &zones.surfaces) {
            let level_db = loudest_db(&seat.numbered, zone.surface);
            match open.iter_mut().find(|(_, known)| known.surface == zone.surface) {
                Some(known) if known.0 < level_db => *known = (level_db, zone),
                Some(_) => {}
                None => open.push((level_db, zone)),
            }
        }
    }
    let is_open = |(level_db, zone): &(f64, &SurfaceZone)| {
        let over_db = level_db - report.limit.level_db();
        let is_covered = zone.together.coverage.class == CoverageClass::Covered;
        QUIET_ENOUGH_DB < over_db && over_db <= 0.0 && !is_covered && !is_screened(zone)
    };
    open.retain(is_open);
    open.sort_by(|(a, _), (b, _)| level::loudest_first(*a, *b));
    let mut all: Vec<Suggestion> = Vec::new();
    for (level_db, zone) in open {
        let worth_db = level_db - report.limit.level_db();
        let text = uncovered(report, level_db, zone);
        match all.last_mut() {
            Some(last) if are_side_walls(zone, last) && last.worth_db - worth_db < 0.05 => {
                last.text = both_sides(&last.text, &text);
            }
            _ => all.push(Suggestion { worth_db, text }),
        }
    }
    for one in &mut all {
        one.text = capital(&one.text);
    }
    all
}

/// Whether the last suggestion is about the wall that faces this one.
fn are_side_walls(zone: &SurfaceZone, last: &Suggestion) -> bool {
    match zone.surface {
        Surface::Right => last.text.starts_with("left wall"),
        Surface::Left => last.text.starts_with("right wall"),
        _ => false,
    }
}

fn uncovered(report: &TraceReport<'_>, level_db: f64, zone: &SurfaceZone) -> String {
    let (low, high) = (zone.together.low_m, zone.together.high_m);
    let covered = match zone.together.coverage.absorbing_share {
        0.0 => "its zone is not covered".to_owned(),
        share => format!("only {} of its zone is covered", percent(share)),
    };
    format!(
        "{}: first reflection {}, within the limit, but {covered}: {}.",
        labels::surface(zone.surface),
        level::with_unit(level_db),
        length::reach(zone.surface, low, high, report.units()),
    )
}
