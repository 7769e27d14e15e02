//! The changes that the treatment makes, and its cost.

use super::figures::by_seat;
use super::gather::ReportData;
use super::head::Section;
use super::held::Held;
use crate::content::comparison::{ComparisonView, changes, costs, sides, summary};
use crate::plot;
use crate::render::html::{figure, list, prose, table};
use maud::{Markup, html};

/// The section; a scene in one state has none.
pub(super) fn section(data: &ReportData<'_>, held: &mut Held) -> Option<Section> {
    let [first, .., last] = data.variants.as_slice() else { return None };
    let heading = match data.variants.len() {
        2 => format!("What changes from {} to {}, and what it costs", first.name, last.name),
        _ => format!("What changes against {}, and what it costs", first.name),
    };
    let at_seat = |seat: usize| {
        let view = data.seats.get(seat)?;
        let overlay = data.shown.get(seat).map(|shown| plot::overlay(shown));
        Some(html! {
            @if let Some(overlay) = overlay { (figure(&overlay, &format!("overlay-{seat}-"))) }
            (differences(view, ""))
            (list(&sides::sentences(view)))
        })
    };
    let inside = html! {
        @if let Some(costs) = data.seats.first().and_then(costs::table) { (table(&costs)) }
        (by_seat(data, held, |choice| at_seat(choice.place[1]).unwrap_or_default()))
    };
    Some(Section::new("change", heading, inside))
}

/// Every difference of a comparison; `of` says of what it is.
pub(super) fn differences(view: &ComparisonView<'_>, of: &str) -> Markup {
    html! {
        @for difference in &view.differences {
            @let [first, second] = view.both(difference).map(|seen| &seen.at.name);
            div.difference {
                h3 { (first) " → " (second) (of) }
                @for sentence in summary::sentences(view, difference) { p { (prose(&sentence)) } }
                @if let Some(changes) = changes::most_changed(view, difference) { (table(&changes)) }
            }
        }
    }
}
