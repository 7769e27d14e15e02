//! What bass does at the seats, in words.

use super::{WaveFieldView, counts, nodal_planes, room, subwoofers};
use crate::content::document::{Cell, Column, Document, Table};
use crate::content::wave_maps::document as maps_document;
use crate::content::wave_maps::{Maps, uneven_span, uneven_span_of};
use crate::format::number::or_missing;
use crate::format::{frequency, level, number, time};
use earline_engine::scene::{ListenerId, SpeakerId};
use earline_engine::wave_field::{
    Extremum, Mode, TransferFunction, UNEVENNESS_BAND_HZ, unevenness_range_hz,
};

/// Peaks and dips shown for each speaker at each seat.
const SHOWN: usize = 6;
/// Modes shown.
pub(crate) const MODES: usize = 12;

/// The whole answer, every line within `width`.
pub(crate) fn document(view: &WaveFieldView<'_>, maps: &Maps) -> Document {
    let mut document = Document::of_scene(view.scene, view.state);
    document.paragraph(computed_from(view));
    document.append(unevenness(view));
    document.append(subwoofers::document(view));
    document.append(maps_document::smoothest_seats(view, maps));
    for &listener in &view.plan.listeners {
        for pair in view.at(listener) {
            document.append(extrema(view, pair));
        }
    }
    document.append(modes(view));
    document.append(room::spacing(view));
    document.append(room::reach(view));
    document.heading("What it is worth");
    document.list(limits(view));
    document
}

/// What was solved, and up to where it is worth more than rays.
pub(crate) fn computed_from(view: &WaveFieldView<'_>) -> String {
    let [low_hz, high_hz] = view.ends_hz();
    let span = frequency::range(low_hz, high_hz);
    let modes = view.found.modes.len();
    format!("Bass from {span}, computed from {modes} room modes.{}", schroeder(view))
}

/// From where on rays tell more, in a sentence with a space before it; empty where that is not known.
fn schroeder(view: &WaveFieldView<'_>) -> String {
    view.found.schroeder_hz.map_or_else(String::new, |hz| {
        format!(" Above about {hz:.0} Hz (Schroeder) modes overlap and rays tell more.")
    })
}

/// Unevenness of every pair and speaker, seats side by side.
fn unevenness(view: &WaveFieldView<'_>) -> Document {
    let mut document = Document::default();
    let says = format!("Unevenness from {}, dB; less is better", uneven_span(view));
    document.heading(&says);
    let listeners = &view.plan.listeners;
    let mut heads: Vec<Column> =
        listeners.iter().map(|&l| Column::right(view.listener(l).to_owned())).collect();
    heads.push(Column::left("Sounding"));
    let mut table = Table::new(says, heads);
    let shown = |db| Cell::plain(or_missing(db, |db| number::fixed(db, 1)));
    for &speaker in &view.plan.speakers {
        let mut cells: Vec<Cell> = listeners
            .iter()
            .map(|&l| {
                shown(view.at(l).find(|p| p.speaker == speaker).and_then(|p| p.unevenness_db))
            })
            .collect();
        let range_hz = unevenness_range_hz(view.scene, &[speaker]);
        cells.push(Cell::plain(format!("{}{}", view.speaker(speaker), played(view, range_hz))));
        table.row(cells);
    }
    let together = |listener: ListenerId| {
        let all = view.found.coherent_sums.iter().chain(&view.found.partial_sums);
        all.filter(move |sum| sum.listener == listener)
    };
    let groups: Vec<&[SpeakerId]> = listeners
        .first()
        .map_or(Vec::new(), |&l| together(l).map(|sum| sum.speakers.as_slice()).collect());
    for speakers in groups {
        let mut cells: Vec<Cell> = listeners
            .iter()
            .map(|&l| {
                shown(
                    together(l).find(|sum| sum.speakers == speakers).and_then(|b| b.unevenness_db),
                )
            })
            .collect();
        let group = view.group(speakers, |pair| format!("both of {pair}"));
        let range_hz = unevenness_range_hz(view.scene, speakers);
        cells.push(Cell::plain(format!("{group} together{}", played(view, range_hz))));
        table.row(cells);
    }
    document.table(table);
    document
}

/// Over what of the range its figure is taken, where a speaker does not play all of it: `, 45 to 200 Hz`.
fn played(view: &WaveFieldView<'_>, range_hz: [f64; 2]) -> String {
    if range_hz == UNEVENNESS_BAND_HZ {
        return String::new();
    }
    format!(", {}", uneven_span_of(view, range_hz))
}

/// The largest peaks and dips of a speaker at a seat, in rising frequency.
fn extrema(view: &WaveFieldView<'_>, pair: &TransferFunction) -> Document {
    let mut document = Document::default();
    let name = format!("{} at {}", view.speaker(pair.speaker), view.listener(pair.listener));
    document.heading(format!("{name}: peaks and dips"));
    let mut table = extrema_table(view, [pair]);
    // The heading names the speaker.
    table.remove_column(0);
    document.table(table);
    let more = pair.extrema.len().saturating_sub(SHOWN);
    if 0 < more {
        document.note(format!("{more} smaller ones are in bass.json."));
    }
    document
}

/// The largest peaks and dips of each speaker at a seat, in rising frequency.
pub(crate) fn extrema_table<'a>(
    view: &WaveFieldView<'_>,
    pairs: impl IntoIterator<Item = &'a TransferFunction>,
) -> Table {
    let columns = vec![
        Column::left("Speaker"),
        Column::right("Hz"),
        Column::right("dB"),
        Column::left("What makes it, most likely first"),
    ];
    let mut table = Table::new("Largest peaks and dips", columns);
    for pair in pairs {
        let mut largest: Vec<&Extremum> = pair.extrema.iter().collect();
        largest.sort_by(|a, b| b.prominence_db.abs().total_cmp(&a.prominence_db.abs()));
        largest.truncate(SHOWN);
        largest.sort_by(|a, b| a.hz.total_cmp(&b.hz));
        for extreme in largest {
            table.row(vec![
                Cell::plain(view.speaker(pair.speaker)),
                Cell::plain(format!("{:.0}", extreme.hz)),
                Cell::plain(level::difference(extreme.prominence_db)),
                Cell::plain(view.causes(extreme, 2)),
            ]);
        }
    }
    table
}

/// Heads of the modes.
pub(crate) const MODE_HEADS: [&str; 4] = ["Hz", "T60, s", "Mode", "Nodal planes"];

fn modes(view: &WaveFieldView<'_>) -> Document {
    let mut document = Document::default();
    document.heading("The lowest modes");
    document.table(modes_table(view, "The lowest modes", MODE_HEADS, MODES, counts));
    let text = "Mode: half wavelengths along length, width and height. In its nodal planes a mode has no \
                pressure. One number is an axial mode, between two surfaces; two are a tangential mode, \
                of four surfaces; three an oblique mode, of all six.";
    document.note(text);
    document
}

/// The lowest modes, so many at most: frequency, decay time, what a mode is called, nodal planes.
pub(crate) fn modes_table(
    view: &WaveFieldView<'_>,
    caption: impl Into<String>,
    heads: [&'static str; 4],
    most: usize,
    name: impl Fn(&Mode) -> String,
) -> Table {
    let [hz, decay, mode, planes] = heads;
    let columns =
        vec![Column::right(hz), Column::right(decay), Column::left(mode), Column::left(planes)];
    let mut table = Table::new(caption, columns);
    for row in view.found.modes.iter().take(most) {
        table.row(vec![
            Cell::plain(format!("{:.1}", row.hz)),
            Cell::plain(or_missing(row.decay_s, time::decay)),
            Cell::plain(name(&row.mode)),
            Cell::plain(nodal_planes(&row.mode, view.scene)),
        ]);
    }
    table
}

pub(crate) fn limits(view: &WaveFieldView<'_>) -> Vec<String> {
    let mut texts = vec![
        "Heights are against the mean of an octave about them; a mode's frequency is that of the room with \
         hard walls. Unevenness is the standard deviation of the level."
            .to_owned(),
        "Absorption below 63 Hz is taken as that at 63 Hz: nobody has measured it. Walls that give way \
         absorb more there than a table tells."
            .to_owned(),
    ];
    if !view.found.neglected.is_empty() {
        texts.push(format!("Not in the solution: {}.", view.found.neglected.join(", ")));
    }
    texts
        .push("A starting point to experiment from; a measurement in the room decides.".to_owned());
    texts
}
