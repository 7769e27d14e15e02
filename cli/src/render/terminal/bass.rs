//! What bass does at the seats, in words.

use super::{bass_room, heading, title};
use crate::content::placement_tolerance::tenths;
use crate::content::wave_field::{Sounded, counts, silent_at};
use crate::content::wave_maps::Maps;
use crate::io::terminal::QUIET;
use crate::render::columns::{Cell, Lean, Table, indented, item, paragraph};
use earline_engine::wave_field::{Extremum, TransferFunction, UNEVENNESS_BAND_HZ};

/// Peaks and dips shown for each speaker at each seat.
const SHOWN: usize = 6;
/// Modes shown.
const MODES: usize = 12;

/// The whole answer, every line within `width`.
pub(crate) fn text(sounded: &Sounded<'_>, maps: &Maps, width: usize) -> String {
    let mut lines = title(sounded.scene, sounded.state, width);
    lines.extend(paragraph(&about(sounded), width));
    lines.extend(unevenness(sounded, width));
    lines.extend(super::bass_maps::flattest(sounded, maps, width));
    for &listener in &sounded.plan.listeners {
        for pair in sounded.at(listener) {
            lines.extend(extremes(sounded, pair, width));
        }
    }
    lines.extend(modes(sounded, width));
    lines.extend(bass_room::spacing(sounded, width));
    lines.extend(bass_room::reach(sounded, width));
    lines.extend(heading("What it is worth"));
    for text in limits(sounded) {
        lines.extend(item("  - ", &text, width));
    }
    lines.push(String::new());
    lines.join("\n")
}

pub(crate) fn about(sounded: &Sounded<'_>) -> String {
    let (plan, found) = (sounded.plan, sounded.found);
    let ends = [plan.hz.first(), plan.hz.last()].map(|hz| hz.copied().unwrap_or(0.0));
    let schroeder = found.schroeder_hz.map_or_else(String::new, |hz| {
        format!(" Above about {hz:.0} Hz (Schroeder) modes overlap and rays tell more.")
    });
    format!(
        "Bass from {:.0} to {:.0} Hz: the wave field of the room, whose {} modes every surface and panel ties together.{schroeder}",
        ends[0],
        ends[1],
        found.modes.len(),
    )
}

/// Unevenness of every pair and speaker, seats side by side.
fn unevenness(sounded: &Sounded<'_>, width: usize) -> Vec<String> {
    let says = format!(
        "Unevenness from {:.0} to {:.0} Hz, dB; less is better",
        UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]
    );
    let mut lines: Vec<String> = heading(&says).into();
    let listeners = &sounded.plan.listeners;
    let mut heads: Vec<(String, Lean)> =
        listeners.iter().map(|&l| (sounded.listener(l).to_owned(), Lean::Right)).collect();
    heads.push(("Sounding".to_owned(), Lean::Left));
    let mut table = Table::new(heads);
    let shown = |db: Option<f64>| Cell::plain(db.map_or("—".to_owned(), |db| format!("{db:.1}")));
    for &speaker in &sounded.plan.speakers {
        let mut cells: Vec<Cell> = listeners
            .iter()
            .map(|&l| {
                shown(sounded.at(l).find(|p| p.speaker == speaker).and_then(|p| p.unevenness_db))
            })
            .collect();
        cells.push(Cell::plain(sounded.speaker(speaker)));
        table.row(cells, Vec::new());
    }
    let together = |listener: usize| {
        sounded.found.coherent_sums.iter().filter(move |both| both.listener == listener)
    };
    let names: Vec<&str> = listeners
        .first()
        .map_or(Vec::new(), |&l| together(l).map(|both| both.name.as_str()).collect());
    for name in names {
        let mut cells: Vec<Cell> = listeners
            .iter()
            .map(|&l| {
                shown(together(l).find(|both| both.name == name).and_then(|b| b.unevenness_db))
            })
            .collect();
        cells.push(Cell::plain(format!("both of {name}, alike")));
        table.row(cells, Vec::new());
    }
    lines.extend(table.lines(width, QUIET));
    lines
}

/// The largest peaks and dips of a speaker at a seat, in rising frequency.
fn extremes(sounded: &Sounded<'_>, pair: &TransferFunction, width: usize) -> Vec<String> {
    let names = format!(
        "{} at {}: peaks and dips",
        sounded.speaker(pair.speaker),
        sounded.listener(pair.listener)
    );
    let mut lines: Vec<String> = heading(&names).into();
    let mut largest: Vec<&Extremum> = pair.extrema.iter().collect();
    largest.sort_by(|a, b| b.prominence_db.abs().total_cmp(&a.prominence_db.abs()));
    largest.truncate(SHOWN);
    largest.sort_by(|a, b| a.hz.total_cmp(&b.hz));
    let mut table = Table::new(vec![
        ("Hz", Lean::Right),
        ("dB", Lean::Right),
        ("What makes it, most likely first", Lean::Left),
    ]);
    for extreme in largest {
        table.row(
            vec![
                Cell::plain(format!("{:.0}", extreme.hz)),
                Cell::plain(tenths(extreme.prominence_db)),
                Cell::plain(sounded.causes(extreme, 2)),
            ],
            Vec::new(),
        );
    }
    lines.extend(table.lines(width, QUIET));
    let more = pair.extrema.len().saturating_sub(SHOWN);
    if 0 < more {
        lines.extend(indented(&format!("{more} smaller ones are in bass.json."), 2, width));
    }
    lines
}

fn modes(sounded: &Sounded<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("The lowest modes").into();
    let mut table = Table::new(vec![
        ("Hz", Lean::Right),
        ("Rings, s", Lean::Right),
        ("Half waves", Lean::Left),
        ("Silent", Lean::Left),
    ]);
    for row in sounded.found.modes.iter().take(MODES) {
        let decay = row.decay_s.map_or("—".to_owned(), |decay_s| format!("{decay_s:.2}"));
        table.row(
            vec![
                Cell::plain(format!("{:.1}", row.hz)),
                Cell::plain(decay),
                Cell::plain(counts(&row.mode)),
                Cell::plain(silent_at(&row.mode, sounded.scene)),
            ],
            Vec::new(),
        );
    }
    lines.extend(table.lines(width, QUIET));
    let text = "Half waves along length, width and height, and the planes where the mode is silent. One \
                number is a mode between two surfaces, two go round four, three round all six.";
    lines.extend(indented(text, 2, width));
    lines
}

pub(crate) fn limits(sounded: &Sounded<'_>) -> Vec<String> {
    let mut texts = vec![
        "Heights are against the mean of an octave about them; a mode's frequency is that of the room with \
         hard walls. Unevenness is the standard deviation of the level."
            .to_owned(),
        "Absorption below 63 Hz is taken as that at 63 Hz: nobody has measured it. Walls that give way \
         absorb more there than a table tells."
            .to_owned(),
    ];
    if !sounded.found.neglected.is_empty() {
        texts.push(format!("Not in the solution: {}.", sounded.found.neglected.join(", ")));
    }
    texts
        .push("A starting point to experiment from; a measurement in the room decides.".to_owned());
    texts
}
