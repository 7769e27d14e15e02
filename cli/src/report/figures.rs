//! The drawings of the files, within the page, for each choice of a state and a seat.

use super::gather::{ReportData, VariantResult};
use super::held::Held;
use crate::content::comparison::VariantAtSeat;
use crate::plot::{self, Input, Sheet, Window};
use earline_engine::scene::ListenerId;
use maud::{Markup, PreEscaped, html};

/// A state at a seat: one of the alternatives that the page shows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Alternative<'a> {
    /// The state.
    pub(super) variant: &'a VariantResult<'a>,
    /// The same at the seat.
    pub(super) seen: &'a VariantAtSeat<'a>,
    /// The same for drawings.
    pub(super) input: &'a Input<'a>,
    /// The listener.
    pub(super) listener: ListenerId,
    /// Places of state and seat in the report.
    pub(super) place: [usize; 2],
    seat_name: &'a str,
}

impl Alternative<'_> {
    /// State and seat in words.
    pub(super) fn name(&self) -> String {
        format!("{}, at {}", self.variant.name, self.seat_name)
    }

    /// Beginning of the ids within a drawing of this choice.
    pub(super) fn prefix(&self, drawing: &str) -> String {
        let [variant, seat] = self.place;
        format!("{drawing}-{variant}-{seat}-")
    }
}

/// A state at a seat, by their places in the report.
fn choice<'a>(data: &'a ReportData<'a>, [state, seat]: [usize; 2]) -> Option<Alternative<'a>> {
    let view = data.seats.get(seat)?;
    let listener = *data.request.listeners.get(seat)?;
    Some(Alternative {
        variant: data.variants.get(state)?,
        seen: view.variants.get(state)?,
        input: &data.shown.get(seat)?.get(state)?.input,
        listener,
        place: [state, seat],
        seat_name: data.listener(listener),
    })
}

/// The state that the page answers for, at its first seat.
pub(super) fn answered<'a>(data: &'a ReportData<'a>) -> Option<Alternative<'a>> {
    choice(data, [data.answered, 0])
}

/// Every state at every seat.
pub(super) fn choices<'a>(data: &'a ReportData<'a>) -> Vec<Alternative<'a>> {
    let seats = 0..data.request.listeners.len();
    let places = (0..data.variants.len()).flat_map(|v| seats.clone().map(move |seat| [v, seat]));
    places.filter_map(|place| choice(data, place)).collect()
}

/// A part for each state and seat: the script shows one at a time and fetches all but the first from what
/// the page holds.
pub(super) fn alternatives(
    data: &ReportData<'_>,
    held: &mut Held,
    inside: impl Fn(usize, &Alternative<'_>) -> Markup,
) -> Markup {
    let mut part = |(index, choice): (usize, &Alternative<'_>)| {
        let [state, seat] = choice.place;
        let markup = html! { p.which { (choice.name()) } (inside(index, choice)) };
        let is_first = [state, seat] == [data.answered, 0];
        let later = (!is_first).then(|| held.keep(&markup));
        html! {
            div.alt data-state=(state) data-seat=(seat) data-held=[later] {
                @if is_first { (markup) } @else { (without_script(choice)) }
            }
        }
    };
    let parts: Vec<Markup> = choices(data).iter().enumerate().map(&mut part).collect();
    html! { @for part in parts { (part) } }
}

/// A part for each seat, of whatever states it tells of.
pub(super) fn by_seat(
    data: &ReportData<'_>,
    held: &mut Held,
    inside: impl Fn(&Alternative<'_>) -> Markup,
) -> Markup {
    let seats = 0..data.request.listeners.len();
    let mut part = |choice: Alternative<'_>| {
        let [_, seat] = choice.place;
        let markup = html! { p.which { "At " (choice.seat_name) } (inside(&choice)) };
        let later = (seat != 0).then(|| held.keep(&markup));
        html! {
            div.alt data-seat=(seat) data-held=[later] {
                @if seat == 0 { (markup) } @else { (without_script(&choice)) }
            }
        }
    };
    let choices = seats.filter_map(|seat| choice(data, [data.answered, seat]));
    let parts: Vec<Markup> = choices.map(&mut part).collect();
    html! { @for part in parts { (part) } }
}

fn without_script(choice: &Alternative<'_>) -> Markup {
    html! { p.modest { "Only a browser with scripts shows " (choice.name()) "." } }
}

/// Plan, section, curve and elevations of a choice.
pub(super) fn views(choice: &Alternative<'_>) -> Vec<(Window, String)> {
    let input = choice.input;
    let mut sheets =
        vec![plot::plan_sheet(input), plot::section_sheet(input), plot::energy_time_sheet(input)];
    sheets.extend(plot::elevation_sheets(input));
    let of = |sheet: &Sheet| -> Vec<(Window, String)> {
        let each = sheet.windows.iter().map(|window| {
            let label = format!("{}: {}", window.title, choice.name());
            let svg = sheet.svg(window, &label, &choice.prefix(window.name));
            (window.clone(), svg)
        });
        each.collect()
    };
    sheets.iter().flat_map(of).collect()
}

/// A drawing that the script can draw on.
pub(super) fn live((window, svg): &(Window, String)) -> Markup {
    let numbers = window.numbers();
    let numbers = numbers.iter().map(|&number| crate::export::to_decimals(number, 4).to_string());
    let map = numbers.collect::<Vec<_>>().join(" ");
    html! {
        figure class={ "live " (window.name) } data-view=(window.name) data-map=(map) {
            div.paper { (PreEscaped(svg)) }
            figcaption { span { (window.title) } }
        }
    }
}
