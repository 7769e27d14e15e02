//! How the sound dies away, with what the rays leave uncertain.

mod criterion;
mod formulas;
mod parted;

pub(super) use criterion::closing as criterion;
pub(super) use parted::lines as parted;

use super::TraceReport;
use super::list::BAND_NAMES;
use crate::io::terminal::{HEADING, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented};
use earline_engine::metrics::decay::{Estimate, Metric, Unavailable};
use earline_engine::simulate::{PairDecay, RoomDecay};
use std::mem::discriminant;

/// The decay at a listener; nothing where no rays were followed.
pub(super) fn lines(told: &TraceReport<'_>, listener: usize, width: usize) -> Vec<String> {
    let Some(decay) = told.decay else { return Vec::new() };
    let here: Vec<&PairDecay> = decay.pairs.iter().filter(|p| p.listener == listener).collect();
    let mut lines = vec![String::new(), format!("{HEADING}Decay{HEADING:#}")];
    let note = format!(
        "Reverberation time T20 in seconds in the octave bands, Hz, from the list and {} rays from \
         each speaker; ± is one standard error of the rays.",
        most_rays(decay)
    );
    lines.extend(indented(&note, 2, width));
    let roomy = table(told, &here, true);
    let fitting = if roomy.width() <= width { roomy } else { table(told, &here, false) };
    lines.extend(fitting.lines(width, QUIET));
    lines.extend(reasons(&here, width));
    if told.formulas {
        lines.extend(formulas::lines(told, width));
    }
    lines.push(String::new());
    lines.extend(criterion::lines(told, &here, width));
    lines
}

fn most_rays(decay: &RoomDecay) -> u64 {
    decay.speakers.iter().map(|speaker| speaker.rays).max().unwrap_or(0)
}

/// A column for the name, and one for each octave band.
fn heads() -> Vec<(&'static str, Lean)> {
    let bands = BAND_NAMES.map(|name| (name, Lean::Right));
    [("Speaker", Lean::Left)].into_iter().chain(bands).collect()
}

/// With the error beside each figure where there is room, else in a line of its own.
fn table(told: &TraceReport<'_>, here: &[&PairDecay], is_roomy: bool) -> Table {
    let mut table = Table::new(heads());
    for pair in here {
        let name = &told.scene.speakers()[pair.speaker].name;
        let t20: Vec<Result<Estimate, Unavailable>> =
            pair.metrics.iter().map(|figures| figures[Metric::T20]).collect();
        let value = |found: &Result<Estimate, Unavailable>| match found {
            Ok(estimate) if is_roomy => format!("{:.2} ±{}", estimate.value, error(estimate)),
            Ok(estimate) => format!("{:.2}", estimate.value),
            Err(_) => "–".to_owned(),
        };
        let mut cells = vec![Cell::plain(name)];
        cells.extend(t20.iter().map(|found| Cell::plain(value(found))));
        table.row(cells, Vec::new());
        if !is_roomy {
            let mut cells = vec![Cell::styled("  ±", QUIET)];
            cells.extend(
                t20.iter()
                    .map(|found| Cell::styled(found.as_ref().map_or(String::new(), error), QUIET)),
            );
            table.row(cells, Vec::new());
        }
    }
    formulas::rows(told, &mut table);
    table
}

fn error(estimate: &Estimate) -> String {
    // Rounded up: an error is not told smaller than it is, and never as nought.
    let rounded = |error: f64| format!("{:.2}", (error * 100.0).ceil() / 100.0);
    estimate.standard_error.map_or("?".to_owned(), rounded)
}

/// Why there is a dash in the table: each kind of reason once, as it first occurs.
fn reasons(here: &[&PairDecay], width: usize) -> Vec<String> {
    let mut reasons: Vec<Unavailable> = Vec::new();
    for absent in here.iter().flat_map(|p| &p.metrics).filter_map(|f| f[Metric::T20].err()) {
        if !reasons.iter().any(|told| discriminant(told) == discriminant(&absent)) {
            reasons.push(absent);
        }
    }
    reasons.iter().flat_map(|absent| indented(&format!("– {absent}"), 2, width)).collect()
}
