//! The decay of the sound.

use super::figures::{Alternative, alternatives};
use super::gather::ReportData;
use super::head;
use crate::content::trace::{decay, deviations};
use crate::plot;
use crate::render::html::{blocks, figure, prose};
use maud::{Markup, html};

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Markup {
    let last = data.variants.last();
    let Some((last, traced)) = last.and_then(|last| Some((last, last.decay()?))) else {
        let nothing = "No rays were followed (--rays 0), so nothing is known of late sound.";
        return head::section("decay", &html! { p { (nothing) } });
    };
    let inside = html! {
        p { (prose(&decay::explanation(traced))) }
        (alternatives(data, |_, choice| at_seat(data, choice)))
        (blocks(&deviations::document(&data.trace_report(last))))
        @if data.variants.len() > 1 { p.modest { "In the state " (last.name) "." } }
    };
    head::section("decay", &inside)
}

fn at_seat(data: &ReportData<'_>, choice: &Alternative<'_>) -> Markup {
    let Some(traced) = choice.variant.decay() else { return Markup::default() };
    let report = data.trace_report(choice.variant);
    let input = choice.input.clone().with_decay(&report, traced, choice.listener);
    html! {
        (blocks(&decay::tables(&report, traced, choice.listener)))
        (figure(&plot::reverberation(&input), &choice.prefix("reverberation")))
        // One variant is enough of the curves: they are the bulkiest of all drawings.
        @if choice.is_last(data) {
            details {
                summary { "The decay itself, band by band" }
                (figure(&plot::decay(&input), &choice.prefix("decay")))
            }
        }
    }
}
