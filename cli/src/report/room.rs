//! The room, and the assumptions about it.

use super::gather::ReportData;
use super::head::Section;
use crate::content::{assumptions, check};
use crate::render::html::{blocks, list, table};
use maud::html;

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Option<Section> {
    let present = data.present()?;
    let scene = data.scene();
    let warnings: Vec<&str> =
        data.loaded.warnings.iter().map(|warning| warning.message.as_str()).collect();
    let inside = html! {
        (blocks(&check::about(scene, &data.survey, &present.formula_comparison.statistics)))
        details {
            summary { "What was assumed, and what everything is made of" }
            (list(&assumptions::sentences(scene, &data.request.speakers, &warnings)))
            (table(&assumptions::absorption(scene, &present.state)))
            p.modest {
                "Random incidence, laboratory values or computed builds; " code { "earline materials" }
                " names the source of each."
                @if data.variants.len() > 1 { " The pieces are those of " (present.name) "." }
            }
        }
    };
    Some(Section::new("room", "The room", inside))
}
