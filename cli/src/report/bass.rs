//! The bass that the room makes.

use super::figures::{Alternative, by_seat};
use super::gather::ReportData;
use super::head::Section;
use super::held::Held;
use crate::content::document::{Cell, Column, Table};
use crate::content::wave_field::document::{
    MODE_HEADS, MODES, computed_from, extrema_table, limits, modes_table,
};
use crate::content::wave_field::room::{reach, spacing};
use crate::content::wave_field::{WaveFieldView, counts, subwoofers};
use crate::format::frequency;
use crate::format::number::{fixed, or_missing};
use crate::plot;
use crate::render::html::{blocks, figure, list, prose, table};
use earline_engine::scene::ListenerId;
use earline_engine::wave_field::{UNEVENNESS_BAND_HZ, WaveField};
use maud::{Markup, html};

/// The section.
pub(super) fn section(data: &ReportData<'_>, held: &mut Held) -> Option<Section> {
    let present = data.present()?;
    let inside = match (&present.bass, data.wave_field(present)) {
        (Ok(_), Some(view)) => solved(data, held, &view, present.name),
        (Err(why), _) => html! { p { "The bass could not be solved: " (why) "." } },
        (Ok(_), None) => return None,
    };
    Some(Section::new("bass", "Bass", inside))
}

fn solved(
    data: &ReportData<'_>,
    held: &mut Held,
    view: &WaveFieldView<'_>,
    variant: &str,
) -> Markup {
    html! {
        p { (prose(&computed_from(view))) }
        (by_seat(data, held, |choice| at_seat(data, choice)))
        (table(&unevenness(data)))
        (blocks(&subwoofers::document(view)))
        details {
            summary { "The lowest modes, and what walls and panels do to them" }
            (table(&modes_table(view, format!("The lowest modes, {variant}"), MODE_HEADS, MODES, counts)))
            (blocks(&spacing(view)))
            (blocks(&reach(view)))
            h3 { "What it is worth" }
            (list(&limits(view)))
        }
    }
}

/// All states over each other, or the only one; a map of places for the ears; peaks and dips.
fn at_seat(data: &ReportData<'_>, choice: &Alternative<'_>) -> Markup {
    let Some(view) = data.wave_field(choice.variant) else { return Markup::default() };
    let maps = data.bass_maps.as_ref().ok();
    let seats = maps.into_iter().flat_map(|maps| maps.seats.iter().map(move |seat| (maps, seat)));
    let mut seats = seats.filter(|(_, seat)| seat.listener == choice.listener);
    let states = data.seats.get(choice.place[1]).filter(|states| 1 < states.variants.len());
    let drawing =
        states.and_then(plot::compared_bass).unwrap_or_else(|| plot::bass(&view, choice.listener));
    let map = seats.find_map(|(maps, seat)| plot::bass_seats(&view, &maps.active, seat));
    html! {
        (figure(&drawing, &choice.prefix("bass")))
        details {
            summary { "Peaks and dips with their causes, and where the ears would have more even bass" }
            (table(&extrema_table(&view, view.at(choice.listener))))
            @if let Some(map) = map { (figure(&map, &choice.prefix("seats"))) }
        }
    }
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
    let span = frequency::range(UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]);
    let mut table = Table::new(format!("Unevenness from {span} in dB; less is better"), columns);
    let mut row = |name: String, of: &dyn Fn(ListenerId, &WaveField) -> Option<f64>| {
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
    let both = first.into_iter().flat_map(|bass| &bass.coherent_sums);
    let here = both.filter(|both| Some(&both.listener) == data.request.listeners.first());
    let view = data.variants.first().and_then(|variant| data.wave_field(variant));
    for speakers in here.map(|sum| &sum.speakers) {
        let words = |pair: &str| format!("both of {pair}");
        let group = view.as_ref().map_or_else(String::new, |view| view.group(speakers, words));
        row(format!("{group} together"), &|listener, bass| {
            let mut together = bass.coherent_sums.iter();
            together.find(|b| b.speakers == *speakers && b.listener == listener)?.unevenness_db
        });
    }
    table
}
