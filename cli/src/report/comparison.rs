//! The changes that the treatment makes, and its cost.

use super::gather::ReportData;
use super::head;
use crate::content::comparison::{ComparisonView, changes, costs, sides, summary};
use crate::render::html::{list, prose, table};
use maud::{Markup, html};

/// Shown in place of a comparison of one variant.
const ONE_VARIANT: &str = "There is one state of the room, so nothing to hold it against. Two [[variant]] \
    sections in the scene, one without the panels and one with them, tell what the panels do; `earline \
    treat` writes such a scene.";

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Markup {
    if data.variants.len() < 2 {
        return head::section("change", &html! { p { (prose(ONE_VARIANT)) } });
    }
    let seat = |view: &ComparisonView<'_>| {
        view.variants.first().map_or("", |seen| data.listener(seen.at.listener))
    };
    let inside = html! {
        @if let Some(costs) = data.seats.first().and_then(costs::table) { (table(&costs)) }
        @for view in &data.seats { (differences(view, &format!("at {}", seat(view)))) }
        h3 { (sides::HEADING) }
        @for view in &data.seats {
            @let sentences = sides::sentences(view);
            (list(&sentences.iter().map(|text| format!("At {}: {text}", seat(view))).collect::<Vec<_>>()))
        }
    };
    head::section("change", &inside)
}

/// Every difference of a comparison; `of` says of what it is.
pub(super) fn differences(view: &ComparisonView<'_>, of: &str) -> Markup {
    html! {
        @for difference in &view.differences {
            @let [first, second] = view.both(difference).map(|seen| &seen.at.name);
            h3 { (first) " → " (second) ", " (of) }
            @for sentence in summary::sentences(view, difference) { p { (prose(&sentence)) } }
            @if let Some(changes) = changes::most_changed(view, difference) { (table(&changes)) }
        }
    }
}
