//! How the sound dies away, with what the rays leave uncertain.

use super::Told;
use super::list::BAND_NAMES;
use crate::columns::{Cell, Lean, Table, indented};
use crate::terminal::{HEADING, QUIET};
use earline_engine::decay::{Absent, Estimate, Figure};
use earline_engine::lining::lining;
use earline_engine::statistics::statistics;
use earline_engine::whole_decay::{PairDecay, WholeDecay};

/// From this width on, every band has its uncertainty beside it.
const ROOMY: usize = 100;

/// The decay at a listener; nothing where no rays were followed.
pub(super) fn lines(told: &Told<'_>, listener: usize, width: usize) -> Vec<String> {
    let Some(decay) = told.decay else { return Vec::new() };
    let here: Vec<&PairDecay> = decay.pairs.iter().filter(|p| p.listener == listener).collect();
    let mut lines = vec![String::new(), format!("{HEADING}Decay{HEADING:#}")];
    let note = "Reverberation time T20 in seconds in the octave bands, Hz, from the list and rays \
                together; ± is one standard error of the rays.";
    lines.extend(indented(note, 2, width));
    lines.extend(table(told, &here, width).lines(width, QUIET));
    let mut reasons: Vec<String> = Vec::new();
    for absent in here.iter().flat_map(|p| &p.figures).filter_map(|f| f[Figure::T20].err()) {
        let reason = format!("– {absent}");
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    for reason in reasons {
        lines.extend(indented(&reason, 2, width));
    }
    lines.extend(indented(&effort(decay), 2, width));
    lines
}

fn table(told: &Told<'_>, here: &[&PairDecay], width: usize) -> Table {
    let mut heads = vec![("Speaker", Lean::Left)];
    heads.extend(BAND_NAMES.map(|name| (name, Lean::Right)));
    let mut table = Table::new(heads);
    for pair in here {
        let name = &told.scene.speakers()[pair.speaker].name;
        let t20: Vec<Result<Estimate, Absent>> =
            pair.figures.iter().map(|figures| figures[Figure::T20]).collect();
        let value = |found: &Result<Estimate, Absent>| match found {
            Ok(estimate) if ROOMY <= width => format!("{:.2}{}", estimate.value, error(estimate)),
            Ok(estimate) => format!("{:.2}", estimate.value),
            Err(_) => "–".to_owned(),
        };
        let mut cells = vec![Cell::plain(name)];
        cells.extend(t20.iter().map(|found| Cell::plain(value(found))));
        table.row(cells, Vec::new());
        if width < ROOMY {
            let mut cells = vec![Cell::styled("  ±", QUIET)];
            cells.extend(t20.iter().map(|found| {
                let text = found.as_ref().map_or(String::new(), bare_error);
                Cell::styled(text, QUIET)
            }));
            table.row(cells, Vec::new());
        }
    }
    let attenuation = told.trace.attenuation_db_per_m;
    let lining = lining(told.scene, told.state);
    let formula =
        statistics(told.scene.room(), told.trace.speed_of_sound_m_s, &attenuation, &lining);
    let mut cells = vec![Cell::styled("Eyring's formula", QUIET)];
    cells.extend(
        formula.eyring_s.iter().map(|time| {
            Cell::styled(time.map_or("–".to_owned(), |time| format!("{time:.2}")), QUIET)
        }),
    );
    table.row(cells, Vec::new());
    table
}

fn error(estimate: &Estimate) -> String {
    estimate.standard_error.map_or(String::new(), |error| format!(" ±{error:.2}"))
}

fn bare_error(estimate: &Estimate) -> String {
    estimate.standard_error.map_or("?".to_owned(), |error| format!("{error:.2}"))
}

fn effort(decay: &WholeDecay) -> String {
    let rays: u64 = decay.speakers.iter().map(|speaker| speaker.rays).max().unwrap_or(0);
    format!(
        "{rays} rays from each speaker. Where formula and trace part, the formula takes sound to run \
         evenly in all directions, which a treated box hardly lets it; and no catalogue knows an \
         absorption to the last tenth. EDT, T30, C50 and the rest are in trace.json."
    )
}
