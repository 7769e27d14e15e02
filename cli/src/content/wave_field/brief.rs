//! What bass does at the seats on one screen, and what to try first.

use super::advice::advice;
use super::document::{computed_from, modes_table};
use super::sounding::Sounding;
use super::{WaveFieldView, between, subwoofers};
use crate::content::document::{Cell, Column, Document, Finding, Grade, Table};
use crate::content::safety_notes::IN_BRIEF;
use crate::content::wave_maps::{Maps, uneven_span, uneven_span_of};
use crate::format::number::fixed;
use crate::format::sentence::capital;
use crate::format::{frequency, level};
use earline_engine::wave_field::{Extremum, Mode, UNEVENNESS_BAND_HZ};

/// Pairs or speakers at seats that are shown, the worst first where there are more.
const SHOWN: usize = 4;
/// Peaks and dips shown in all, and at most and at least for one of them.
const ROWS: usize = 12;
const MOST_ROWS: usize = 6;
const LEAST_ROWS: usize = 3;
/// Modes shown.
const MODES: usize = 6;
/// Names of what is left out that are told.
const NAMES: usize = 4;

/// The answer on one screen.
pub(crate) fn brief(view: &WaveFieldView<'_>, maps: &Maps) -> Document {
    let all = view.soundings();
    let shown = worst(&all);
    let mut document = Document::of_scene(view.scene, view.state);
    document.paragraph(computed_from(view));
    document.verdict(findings(view, &shown));
    document.note(measure(view, all.len() - shown.len(), &shown));
    document.heading("Try first");
    let advice = advice(view, maps, &all);
    if advice.to_try.is_empty() {
        document.note(nothing(maps));
    }
    document.numbered(advice.to_try);
    if let Some(table) = subwoofers::table(view) {
        document.heading(subwoofers::HEADING).table(table);
    }
    document.append(extrema(view, &shown));
    document.append(modes(view));
    document.pause();
    if advice.hangs {
        document.caution([IN_BRIEF.to_owned()]);
    }
    document.paragraph(format!(
        "A starting point to experiment from: measure before and after; `--full` shows every speaker, more \
         modes and how far down panels reach.{}",
        left_out(view)
    ));
    document
}

/// What is least even of all that sounds at the seats: its unevenness in decibels and a finding on it.
/// `None` where too little was asked for.
pub(crate) fn least_even(view: &WaveFieldView<'_>) -> Option<(f64, Finding)> {
    let all = view.soundings();
    let known = all.iter().filter_map(|sounding| Some((sounding.unevenness_db?, sounding)));
    // To a hundredth, so that mirrored speakers keep their order.
    let hundredths = |db: f64| (db * 100.0).round();
    let least = known.rev().max_by(|a, b| hundredths(a.0).total_cmp(&hundredths(b.0)));
    let (uneven_db, sounding) = least?;
    let name = format!("{}, {}", view.listener(sounding.listener), sounding.name);
    let parts = parts(view, sounding).join("; ");
    let span = uneven_span(view);
    let text = format!("Bass at {name}: {parts} ({span}; no published limit is known).");
    Some((uneven_db, Finding::new(Grade::Fair, text)))
}

/// What might be tried against uneven bass, the most promising first.
pub(crate) fn to_try(view: &WaveFieldView<'_>, maps: &Maps) -> Vec<String> {
    advice(view, maps, &view.soundings()).to_try
}

/// Why there is nothing to try.
fn nothing(maps: &Maps) -> &'static str {
    if maps.seats.iter().all(|seat| seat.seats.is_none()) {
        "Ask for 30 to 200 Hz: with less of that there is no map of better places for the ears."
    } else {
        "Nothing: no place for the ears is 1 dB more even, and no wall by the speakers makes a deep dip."
    }
}

/// The worst where there are many, in the order of the seats.
fn worst<'s, 'a>(all: &'s [Sounding<'a>]) -> Vec<&'s Sounding<'a>> {
    let mut order: Vec<usize> = (0..all.len()).collect();
    let uneven = |index: usize| all[index].unevenness_db.unwrap_or(0.0);
    order.sort_by(|&a, &b| uneven(b).total_cmp(&uneven(a)));
    order.truncate(SHOWN);
    order.sort_unstable();
    order.into_iter().map(|index| &all[index]).collect()
}

fn left_out(view: &WaveFieldView<'_>) -> String {
    let names = &view.found.neglected;
    if names.is_empty() {
        return String::new();
    }
    let more = match names.len().saturating_sub(NAMES) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let told: Vec<&str> = names.iter().take(NAMES).map(String::as_str).collect();
    format!(" Left out: {}{more}.", told.join(", "))
}

/// Unevenness, deepest dip and highest peak, as far as they are known.
fn parts(view: &WaveFieldView<'_>, sounding: &Sounding<'_>) -> Vec<String> {
    // Where a speaker does not play all of the range, over what it plays.
    let over = if sounding.range_hz == UNEVENNESS_BAND_HZ {
        String::new()
    } else {
        format!(" from {}", uneven_span_of(view, sounding.range_hz))
    };
    let uneven = sounding.unevenness_db.map(|db| format!("uneven by {} dB{over}", fixed(db, 1)));
    let told = |kind: &str, extreme: &Extremum| {
        let db = fixed(extreme.prominence_db.abs(), 1);
        format!("{kind} {db} dB at {:.0} Hz", extreme.hz)
    };
    let dip = sounding.deepest_dip().map(|extreme| told("deepest dip", extreme));
    let peak = sounding.highest_peak().map(|extreme| told("highest peak", extreme));
    [uneven, dip, peak].into_iter().flatten().collect()
}

/// A finding for each; for a single one unevenness and extremes apart.
fn findings(view: &WaveFieldView<'_>, shown: &[&Sounding<'_>]) -> Vec<Finding> {
    let fair = |text: String| Finding::new(Grade::Fair, text);
    let name = |sounding: &Sounding<'_>| {
        format!("{}, {}", view.listener(sounding.listener), sounding.name)
    };
    if let [only] = shown {
        return of_one(&name(only), parts(view, only)).into_iter().map(fair).collect();
    }
    let all = shown.iter().map(|sounding| (name(sounding), parts(view, sounding)));
    all.filter(|(_, parts)| !parts.is_empty())
        .map(|(name, parts)| fair(format!("{name}: {}.", parts.join("; "))))
        .collect()
}

/// The unevenness for itself, with the name of what sounds; then the rest.
fn of_one(name: &str, parts: Vec<String>) -> Vec<String> {
    let mut sentences = Vec::new();
    let mut rest = parts.into_iter();
    sentences.extend(rest.next().map(|first| format!("{name}: {first}.")));
    let rest: Vec<String> = rest.collect();
    if !rest.is_empty() {
        sentences.push(capital(&format!("{}.", rest.join("; "))));
    }
    sentences
}

/// What the figures are held against.
fn measure(view: &WaveFieldView<'_>, hidden: usize, shown: &[&Sounding<'_>]) -> String {
    let more = match hidden {
        0 => String::new(),
        more => format!(" {more} more with `--full`."),
    };
    if shown.iter().all(|sounding| sounding.unevenness_db.is_none()) {
        let span = frequency::range(UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]);
        return format!(
            "Unevenness is taken over {span}, of which too little was asked for.{more}"
        );
    }
    format!("From {}; no published limit is known, less is better.{more}", uneven_span(view))
}

/// The largest peaks and dips of each in rising frequency, each with its likely cause.
fn extrema(view: &WaveFieldView<'_>, shown: &[&Sounding<'_>]) -> Document {
    let mut document = Document::default();
    let rows = (ROWS / shown.len().max(1)).clamp(LEAST_ROWS, MOST_ROWS);
    let causes = if shown.len() <= 2 { 2 } else { 1 };
    let [low_hz, high_hz] = shown_hz(view);
    let says = format!("Largest peaks and dips, {}", frequency::range(low_hz, high_hz));
    let columns = vec![Column::right("Hz"), Column::right("dB"), Column::left("Likely cause")];
    let mut table = Table::new(says.clone(), columns);
    for sounding in shown {
        let inside = |extreme: &&Extremum| (low_hz..=high_hz).contains(&extreme.hz);
        let within = largest(sounding.extrema.iter().filter(inside), rows);
        for (place, extreme) in within.into_iter().enumerate() {
            let row = table.row(vec![
                Cell::plain(format!("{:.0}", extreme.hz)),
                Cell::plain(level::difference(extreme.prominence_db)),
                Cell::plain(view.likely_words(sounding, extreme, causes)),
            ]);
            if place == 0 && 1 < shown.len() {
                row.group(format!("{}, {}", view.listener(sounding.listener), sounding.name));
            }
        }
    }
    document.heading(says);
    if table.rows.is_empty() {
        document.note("None of 3 dB or more.");
    } else {
        document.table(table);
    }
    document
}

/// The frequencies that are shown, hertz: those of the unevenness, or all where none of them was asked for.
fn shown_hz(view: &WaveFieldView<'_>) -> [f64; 2] {
    let ([from_hz, to_hz], [low_hz, high_hz]) = (view.ends_hz(), UNEVENNESS_BAND_HZ);
    let [first_hz, last_hz] = [from_hz.max(low_hz), to_hz.min(high_hz)];
    if first_hz < last_hz { [first_hz, last_hz] } else { [from_hz, to_hz] }
}

/// So many of the largest, dips and half as many peaks where there are enough, in rising frequency.
fn largest<'a>(extrema: impl Iterator<Item = &'a Extremum>, rows: usize) -> Vec<&'a Extremum> {
    let mut all: Vec<&Extremum> = extrema.collect();
    all.sort_by(|a, b| b.prominence_db.abs().total_cmp(&a.prominence_db.abs()));
    let (mut peaks, mut dips): (Vec<&Extremum>, Vec<&Extremum>) =
        all.into_iter().partition(|extreme| 0.0 < extreme.prominence_db);
    peaks.truncate((rows / 3).max(rows.saturating_sub(dips.len())));
    dips.truncate(rows - peaks.len());
    peaks.extend(dips);
    peaks.sort_by(|a, b| a.hz.total_cmp(&b.hz));
    peaks
}

fn modes(view: &WaveFieldView<'_>) -> Document {
    let mut document = Document::default();
    if !view.found.modes.is_empty() {
        let says = "The lowest modes";
        let heads = ["Hz", "T60, s", "Between", "Nodal planes"];
        let name = |mode: &Mode| between(mode).to_owned();
        document.heading(says).table(modes_table(view, says, heads, MODES, name));
    }
    document
}
