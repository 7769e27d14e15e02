//! The bass that the room makes.

use super::figures::{Choice, alternatives};
use super::gather::ReportData;
use super::head;
use crate::content::answer::bass::{about, limits};
use crate::content::answer::plain;
use crate::content::document::{Cell, Column, Table};
use crate::content::wave_field::{Sounded, counts, silent_at};
use crate::format::number::{fixed, or_missing};
use crate::format::{frequency, level, time};
use crate::plot;
use crate::render::html::{figure, list, prose, table};
use earline_engine::wave_field::{Extreme, UNEVEN_HZ};
use maud::{Markup, html};

/// Peaks and dips of each speaker.
const SHOWN: usize = 6;
/// Modes.
const MODES: usize = 12;

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Markup {
    let Some(last) = data.variants.last() else { return Markup::default() };
    let inside = match (&last.bass, data.wave_field(last)) {
        (Ok(_), Some(view)) => solved(data, &view, last.name),
        (Err(why), _) => html! { p { "The bass could not be solved: " (why) "." } },
        (Ok(_), None) => Markup::default(),
    };
    head::section("bass", &inside)
}

fn solved(data: &ReportData<'_>, view: &Sounded<'_>, variant: &str) -> Markup {
    html! {
        p { (prose(&about(view))) }
        (table(&unevenness(data)))
        (alternatives(data, |_, choice| at_seat(data, choice)))
        details {
            summary { "The lowest modes" }
            (table(&modes(view, variant)))
        }
        @for (heading, sentences) in plain::bass_room(view) {
            h3 { (heading) }
            (list(&sentences))
        }
        h3 { "What it is worth" }
        (list(&limits(view)))
    }
}

fn at_seat(data: &ReportData<'_>, choice: &Choice<'_>) -> Markup {
    let Some(view) = data.wave_field(choice.variant) else { return Markup::default() };
    let maps = data.bass_maps.as_ref().ok().filter(|_| choice.is_last(data));
    let seats =
        maps.into_iter().flat_map(|maps| maps.seats.iter().map(|seat| (&maps.chorus, seat)));
    let seats = seats.filter(|(_, seat)| seat.listener == choice.listener);
    let maps = seats.filter_map(|(chorus, seat)| plot::bass_seats(&view, chorus, seat));
    html! {
        (figure(&plot::bass(&view, choice.listener), &choice.prefix("bass")))
        @for map in maps { (figure(&map, &choice.prefix("seats"))) }
        (table(&extremes(data, &view, choice.listener)))
    }
}

/// The largest peaks and dips of every speaker at a seat, in rising frequency.
fn extremes(data: &ReportData<'_>, view: &Sounded<'_>, listener: usize) -> Table {
    let columns = vec![
        Column::left("Speaker"),
        Column::right("Hz"),
        Column::right("dB"),
        Column::left("What makes it, most likely first"),
    ];
    let mut table = Table::new("Largest peaks and dips", columns);
    for pair in view.at(listener) {
        let mut largest: Vec<&Extreme> = pair.extremes.iter().collect();
        largest.sort_by(|a, b| b.height_db.abs().total_cmp(&a.height_db.abs()));
        largest.truncate(SHOWN);
        largest.sort_by(|a, b| a.hz.total_cmp(&b.hz));
        for extreme in largest {
            let cells = [
                data.speaker(pair.speaker).to_owned(),
                fixed(extreme.hz, 0),
                level::difference(extreme.height_db),
                view.causes(extreme, 2),
            ];
            table.row(cells.map(Cell::plain).into());
        }
    }
    table
}

fn modes(view: &Sounded<'_>, variant: &str) -> Table {
    let columns = vec![
        Column::right("Hz"),
        Column::right("Rings, s"),
        Column::left("Half waves along length, width, height"),
        Column::left("Silent"),
    ];
    let mut table = Table::new(format!("The lowest modes, in the state {variant}"), columns);
    for row in view.found.modes.iter().take(MODES) {
        let cells = [
            fixed(row.hz, 1),
            or_missing(row.decay_s, time::decay),
            counts(&row.mode),
            silent_at(&row.mode, view.scene),
        ];
        table.row(cells.map(Cell::plain).into());
    }
    table
}

/// Every speaker and pair at every seat in every variant.
fn unevenness(data: &ReportData<'_>) -> Table {
    let seats = data.request.listeners.iter();
    let places: Vec<_> = seats.flat_map(|&l| data.variants.iter().map(move |v| (l, v))).collect();
    let has_many = data.variants.len() > 1;
    let mut columns = vec![Column::left("Sounding")];
    columns.extend(places.iter().map(|&(listener, variant)| {
        let seat = data.listener(listener);
        Column::right(if has_many { format!("{seat}, {}", variant.name) } else { seat.to_owned() })
    }));
    let caption = format!(
        "Unevenness from {} in dB; less is better",
        frequency::range(UNEVEN_HZ[0], UNEVEN_HZ[1])
    );
    let mut table = Table::new(caption, columns);
    let mut row =
        |name: String, of: &dyn Fn(usize, &earline_engine::wave_field::Bass) -> Option<f64>| {
            let figures = places.iter().map(|&(listener, variant)| {
                let db = variant.bass.as_ref().ok().and_then(|bass| of(listener, bass));
                or_missing(db, |db| fixed(db, 1))
            });
            table.row([name].into_iter().chain(figures).map(Cell::plain).collect());
        };
    for &speaker in &data.request.speakers {
        row(data.speaker(speaker).to_owned(), &|listener, bass| {
            let mut pairs = bass.pairs.iter();
            pairs.find(|p| p.speaker == speaker && p.listener == listener)?.unevenness_db
        });
    }
    let first = data.variants.first().and_then(|variant| variant.bass.as_ref().ok());
    let both = first.into_iter().flat_map(|bass| &bass.together);
    let here = both.filter(|both| Some(&both.listener) == data.request.listeners.first());
    for name in here.map(|both| &both.name) {
        row(format!("both of {name}, alike"), &|listener, bass| {
            let mut together = bass.together.iter();
            together.find(|b| b.name == *name && b.listener == listener)?.unevenness_db
        });
    }
    table
}
