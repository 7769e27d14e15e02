//! What the room does to the bass.

use super::figures::{alternatives, prefix, whole};
use super::gather::ReportData;
use super::head::section;
use super::html::{Cell, Html};
use crate::content::answer::bass::{about, limits};
use crate::content::answer::plain;
use crate::content::placement_tolerance::tenths;
use crate::content::wave_field::{Sounded, counts, silent_at};
use crate::plot;
use earline_engine::wave_field::{Extremum, UNEVENNESS_BAND_HZ};

/// Peaks and dips of each speaker.
const SHOWN: usize = 6;
/// Modes.
const MODES: usize = 12;

/// Writes the section.
pub(super) fn write(html: &mut Html, gathered: &ReportData<'_>) {
    section(html, "bass");
    let Some(found) = gathered.states.last() else { return };
    let sounded = match (&found.bass, gathered.sounded(found)) {
        (Err(why), _) => {
            html.paragraph(&format!("The bass could not be solved: {why}."));
            html.raw("</section>\n");
            return;
        }
        (_, None) => return,
        (_, Some(sounded)) => sounded,
    };
    html.paragraph(&about(&sounded));
    unevenness(html, gathered);
    alternatives(html, gathered, |html, state, seat| {
        let (Some(found), Some(&listener)) =
            (gathered.states.get(state), gathered.asked.listeners.get(seat))
        else {
            return;
        };
        let Some(sounded) = gathered.sounded(found) else { return };
        whole(html, &plot::bass(&sounded, listener), &prefix("bass", state, seat));
        if state + 1 == gathered.states.len() {
            seat_map(html, gathered, &sounded, listener, &prefix("seats", state, seat));
        }
        let mut rows = Vec::new();
        for pair in sounded.at(listener) {
            let mut largest: Vec<&Extremum> = pair.extrema.iter().collect();
            largest.sort_by(|a, b| b.prominence_db.abs().total_cmp(&a.prominence_db.abs()));
            largest.truncate(SHOWN);
            largest.sort_by(|a, b| a.hz.total_cmp(&b.hz));
            rows.extend(largest.into_iter().map(|extreme| {
                vec![
                    Cell::words(gathered.speaker(pair.speaker)),
                    Cell::figure(format!("{:.0}", extreme.hz)),
                    Cell::figure(tenths(extreme.prominence_db)),
                    Cell::words(sounded.causes(extreme, 2)),
                ]
            }));
        }
        let heads = [
            Cell::words("Speaker"),
            Cell::words("Hz").with("n"),
            Cell::words("dB").with("n"),
            Cell::words("What makes it, most likely first"),
        ];
        html.table("Largest peaks and dips", &heads, &rows);
    });
    let heads = [
        Cell::words("Hz").with("n"),
        Cell::words("Rings, s").with("n"),
        Cell::words("Half waves along length, width, height"),
        Cell::words("Silent"),
    ];
    let rows: Vec<Vec<Cell>> = sounded
        .found
        .modes
        .iter()
        .take(MODES)
        .map(|row| {
            let rings = row.decay_s.map_or("–".to_owned(), |decay_s| format!("{decay_s:.2}"));
            vec![
                Cell::figure(format!("{:.1}", row.hz)),
                Cell::figure(rings),
                Cell::words(counts(&row.mode)),
                Cell::words(silent_at(&row.mode, sounded.scene)),
            ]
        })
        .collect();
    html.raw("<details><summary>The lowest modes</summary>\n");
    html.table(&format!("The lowest modes, in the state {}", found.name), &heads, &rows);
    html.raw("</details>\n");
    for (heading, says) in plain::bass_room(&sounded) {
        html.element("h3", &heading);
        html.list("ul", &says);
    }
    html.element("h3", "What it is worth");
    html.list("ul", &limits(&sounded));
    html.raw("</section>\n");
}

/// How even the bass is over the floor at one pair of ears.
fn seat_map(
    html: &mut Html,
    gathered: &ReportData<'_>,
    sounded: &Sounded<'_>,
    listener: usize,
    prefix: &str,
) {
    let Ok(maps) = &gathered.bass_maps else { return };
    let seats = maps.seats.iter().filter(|seat| seat.listener == listener);
    for drawing in seats.filter_map(|seat| plot::bass_seats(sounded, &maps.chorus, seat)) {
        whole(html, &drawing, prefix);
    }
}

/// Every speaker and pair at every seat in every state.
fn unevenness(html: &mut Html, gathered: &ReportData<'_>) {
    let mut heads = vec![Cell::words("Sounding")];
    let many = gathered.states.len() > 1;
    for &listener in &gathered.asked.listeners {
        for found in &gathered.states {
            let seat = gathered.listener(listener);
            let head = if many { format!("{seat}, {}", found.name) } else { seat.to_owned() };
            heads.push(Cell::words(head).with("n"));
        }
    }
    let figure = |db: Option<f64>| Cell::figure(db.map_or("–".to_owned(), |db| format!("{db:.1}")));
    let mut rows = Vec::new();
    for &speaker in &gathered.asked.speakers {
        let mut row = vec![Cell::words(gathered.speaker(speaker))];
        for &listener in &gathered.asked.listeners {
            for found in &gathered.states {
                let pair = found.bass.as_ref().ok().and_then(|bass| {
                    bass.pairs.iter().find(|p| p.speaker == speaker && p.listener == listener)
                });
                row.push(figure(pair.and_then(|pair| pair.unevenness_db)));
            }
        }
        rows.push(row);
    }
    let names: Vec<&String> = gathered
        .states
        .first()
        .and_then(|found| found.bass.as_ref().ok())
        .map_or_else(Vec::new, |bass| {
            let first = gathered.asked.listeners.first();
            bass.coherent_sums
                .iter()
                .filter(|both| Some(&both.listener) == first)
                .map(|both| &both.name)
                .collect()
        });
    for name in names {
        let mut row = vec![Cell::words(format!("both of {name}, alike"))];
        for &listener in &gathered.asked.listeners {
            for found in &gathered.states {
                let both = found.bass.as_ref().ok().and_then(|bass| {
                    bass.coherent_sums.iter().find(|b| b.name == *name && b.listener == listener)
                });
                row.push(figure(both.and_then(|both| both.unevenness_db)));
            }
        }
        rows.push(row);
    }
    let caption = format!(
        "Unevenness from {:.0} to {:.0} Hz in dB; less is better",
        UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]
    );
    html.table(&caption, &heads, &rows);
}
