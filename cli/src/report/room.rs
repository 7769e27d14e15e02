//! The room, and the assumptions about it.

use super::gather::ReportData;
use super::head;
use crate::content::{assumptions, check};
use crate::render::html::{blocks, list, table};
use maud::{Markup, html};

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Markup {
    let scene = data.scene();
    let warnings: Vec<&str> =
        data.loaded.warnings.iter().map(|warning| warning.message.as_str()).collect();
    let inside = html! {
        @if let Some(last) = data.variants.last() {
            (blocks(&check::about(scene, &data.survey, &last.formula_comparison.statistics)))
            @if data.variants.len() > 1 {
                p.modest { "These figures are of the state " (last.name) "." }
            }
        }
        h3 { "Assumed" }
        (list(&assumptions::sentences(scene, &data.request.speakers, &warnings)))
        @if let Some(last) = data.variants.last() {
            (table(&assumptions::absorption(scene, &last.state)))
            p.modest {
                "Random incidence, laboratory values or computed builds; " code { "earline materials" }
                " names the source of each."
            }
        }
    };
    head::section("room", &inside)
}
