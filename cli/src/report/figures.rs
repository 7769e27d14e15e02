//! The drawings of the files, within the page, for each choice of a variant and a seat.

use super::gather::{ReportData, VariantResult};
use crate::content::comparison::VariantAtSeat;
use crate::plot::{self, Input, Sheet, Window};
use earline_engine::scene::ListenerId;
use maud::{Markup, PreEscaped, html};

/// A variant at a seat: one of the alternatives that the page shows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Alternative<'a> {
    /// The variant.
    pub(super) variant: &'a VariantResult<'a>,
    /// The same at the seat.
    pub(super) seen: &'a VariantAtSeat<'a>,
    /// The same for drawings.
    pub(super) input: &'a Input<'a>,
    /// The listener.
    pub(super) listener: ListenerId,
    /// Places of variant and seat in the report.
    place: [usize; 2],
    seat_name: &'a str,
}

impl Alternative<'_> {
    /// Variant and seat in words.
    pub(super) fn name(&self) -> String {
        format!("state {}, seat {}", self.variant.name, self.seat_name)
    }

    /// Whether the variant is the last of the report.
    pub(super) fn is_last(&self, data: &ReportData<'_>) -> bool {
        self.place[0] + 1 == data.variants.len()
    }

    /// Beginning of the ids within a drawing of this choice.
    pub(super) fn prefix(&self, drawing: &str) -> String {
        let [variant, seat] = self.place;
        format!("{drawing}-{variant}-{seat}-")
    }
}

/// Every variant at every seat.
pub(super) fn choices<'a>(data: &'a ReportData<'a>) -> Vec<Alternative<'a>> {
    let of = |v: usize, seat: usize| {
        let view = data.seats.get(seat)?;
        let listener = *data.request.listeners.get(seat)?;
        Some(Alternative {
            variant: data.variants.get(v)?,
            seen: view.variants.get(v)?,
            input: &data.shown.get(seat)?.get(v)?.input,
            listener,
            place: [v, seat],
            seat_name: data.listener(listener),
        })
    };
    let seats = data.request.listeners.len();
    (0..data.variants.len()).flat_map(|v| (0..seats).filter_map(move |seat| of(v, seat))).collect()
}

/// A part for each choice: shown one at a time by the script, all without it.
pub(super) fn alternatives(
    data: &ReportData<'_>,
    inside: impl Fn(usize, &Alternative<'_>) -> Markup,
) -> Markup {
    html! {
        @for (index, choice) in choices(data).iter().enumerate() {
            div.alt data-state=(choice.place[0]) data-seat=(choice.place[1]) {
                p.which { (choice.name()) }
                (inside(index, choice))
            }
        }
    }
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
