//! What the room does to the bass.

use super::figures::{alternatives, prefix, whole};
use super::gather::Gathered;
use super::head::section;
use super::html::{Cell, Html};
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_field::document::{about, extrema_table, limits, modes_table};
use crate::content::wave_field::room::{reach, spacing};
use crate::plot;
use crate::render;
use earline_engine::wave_field::UNEVEN_HZ;

/// Writes the section.
pub(super) fn write(html: &mut Html, gathered: &Gathered<'_>) {
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
        let table = extrema_table(&sounded, sounded.at(listener));
        html.raw(render::html::table_markup(&table).into_string());
    });
    html.raw("<details><summary>The lowest modes</summary>\n");
    let caption = format!("The lowest modes, in the state {}", found.name);
    html.raw(render::html::table_markup(&modes_table(&sounded, caption)).into_string());
    html.raw("</details>\n");
    for section in [spacing(&sounded), reach(&sounded)] {
        html.raw(render::html::blocks(&section).into_string());
    }
    html.element("h3", "What it is worth");
    html.list("ul", &limits(&sounded));
    html.raw("</section>\n");
}

/// How even the bass is over the floor at one pair of ears.
fn seat_map(
    html: &mut Html,
    gathered: &Gathered<'_>,
    sounded: &WaveFieldView<'_>,
    listener: usize,
    prefix: &str,
) {
    let Ok(maps) = &gathered.bass_maps else { return };
    let seats = maps.seats.iter().filter(|seat| seat.listener == listener);
    for drawing in seats.filter_map(|seat| plot::bass_seats(sounded, &maps.active, seat)) {
        whole(html, &drawing, prefix);
    }
}

/// Every speaker and pair at every seat in every state.
fn unevenness(html: &mut Html, gathered: &Gathered<'_>) {
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
            bass.together
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
                    bass.together.iter().find(|b| b.name == *name && b.listener == listener)
                });
                row.push(figure(both.and_then(|both| both.unevenness_db)));
            }
        }
        rows.push(row);
    }
    let caption = format!(
        "Unevenness from {:.0} to {:.0} Hz in dB; less is better",
        UNEVEN_HZ[0], UNEVEN_HZ[1]
    );
    html.table(&caption, &heads, &rows);
}
