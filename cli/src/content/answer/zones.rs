//! Where a panel would work: for each surface the part that makes its first reflections.

use super::TraceReport;
use super::list::level;
use crate::content::numbering::Numbered;
use crate::format::labels;
use crate::format::length;
use crate::io::terminal::{ALERT, GOOD, HEADING, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented};
use anstyle::Style;
use earline_engine::analysis::zones::{Coverage, CoverageClass, SurfaceZone, ZonePlan};
use earline_engine::geometry::FaceId;
use earline_engine::scene::{Scene, Surface, Units};
use std::borrow::Cow;

pub(super) fn lines(
    told: &TraceReport<'_>,
    listener: usize,
    numbered: &[Numbered<'_>],
    width: usize,
) -> Vec<String> {
    let Some(seat) = told.zones.iter().find(|seat| seat.listener == listener) else {
        return Vec::new();
    };
    let mut lines = vec![String::new(), format!("{HEADING}Where a panel would work{HEADING:#}")];
    lines.extend(indented(&note(told.zone_plan, told.units(), ON_THE_ELEVATIONS), 2, width));
    let mut surfaces: Vec<(f64, &SurfaceZone)> =
        seat.surfaces.iter().map(|zone| (loudest_db(numbered, zone.surface), zone)).collect();
    surfaces.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    let mut table = Table::new(vec![
        ("Surface", Lean::Left),
        ("Level", Lean::Right),
        ("Zone", Lean::Left),
        ("Now", Lean::Left),
    ]);
    for (level_db, zone) in surfaces {
        let cells = vec![
            Cell::plain(labels::surface(zone.surface)),
            Cell::plain(if level_db.is_finite() { level(level_db) } else { "none".to_owned() }),
            Cell::styled(word(zone), style(zone)),
            Cell::plain(now(told, zone)),
        ];
        let (low, high) = (zone.together.low_m, zone.together.high_m);
        let reach = length::reach(zone.surface, low, high, told.units());
        table.row(cells, vec![reach]);
    }
    lines.extend(table.lines(width, QUIET));
    lines
}

const ON_THE_ELEVATIONS: &str = ". Zone by zone on the elevations.";

/// What the zones are, and what more is to be said of them.
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
    let off = |n: &&Numbered<'_>| matches!(n.reflection.arrival.bounces.as_slice(), [only] if only.face == FaceId::Surface(surface));
    // To a hundredth, so that mirrored surfaces keep their order whatever the last bit says.
    let levels =
        numbered.iter().filter(off).map(|n| (n.reflection.level_db * 100.0).round() / 100.0);
    levels.fold(f64::NEG_INFINITY, f64::max)
}

/// Whether something stands before the middle of the zone for every speaker.
pub(super) fn is_screened(zone: &SurfaceZone) -> bool {
    zone.speakers.iter().all(|speaker| speaker.behind.is_some())
}

/// How well a zone is treated, in a word.
pub(crate) fn word(zone: &SurfaceZone) -> &'static str {
    match zone.together.coverage.class {
        _ if is_screened(zone) => "screened",
        CoverageClass::Covered => "covered",
        CoverageClass::HalfCovered => "half covered",
        CoverageClass::Missed => "missed",
    }
}

/// The look of that word.
pub(super) fn style(zone: &SurfaceZone) -> Style {
    match zone.together.coverage.class {
        _ if is_screened(zone) => QUIET,
        CoverageClass::Covered => GOOD,
        CoverageClass::HalfCovered => Style::new(),
        CoverageClass::Missed => ALERT,
    }
}

/// What stands before the middle of a zone, for any speaker.
pub(super) fn before<'a>(scene: &'a Scene, zone: &SurfaceZone) -> Vec<Cow<'a, str>> {
    let mut names: Vec<Cow<str>> = Vec::new();
    for face in zone.speakers.iter().filter_map(|speaker| speaker.behind) {
        let name = labels::thing(scene, face);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// What covers a zone now, and what stands before it.
pub(crate) fn now(told: &TraceReport<'_>, zone: &SurfaceZone) -> String {
    let mut words = covers(told, &zone.together.coverage);
    let before = before(told.scene, zone);
    let of = if is_screened(zone) { "" } else { " for some speakers" };
    words.extend(
        (!before.is_empty()).then(|| format!("{} before its middle{of}", before.join(" and "))),
    );
    if words.is_empty() { "bare".to_owned() } else { words.join("; ") }
}

fn covers(told: &TraceReport<'_>, covering: &Coverage) -> Vec<String> {
    let panel = |share: &earline_engine::analysis::zones::PanelShare| {
        let name = told.scene.panels().get(share.panel).map_or("panel", |panel| &panel.name);
        let hard = if share.absorbs { "" } else { " (reflects)" };
        format!("{name}{hard} over {}", percent(share.share))
    };
    covering.panels.iter().map(panel).collect()
}

/// `44 %`, never nought for what is there.
pub(super) fn percent(share: f64) -> String {
    format!("{:.0} %", (share * 100.0).max(1.0))
}
