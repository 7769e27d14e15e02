//! One seat against another: seated against standing.

use super::gather::ReportData;
use super::{comparison, head};
use crate::content::placement_tolerance::document::heights;
use crate::render::html::blocks;
use maud::html;

/// Shown in place of a comparison of one seat.
const ONE_SEAT: &str = "There is one pair of ears. A second [[listener]] at the same place with a greater \
    height, or --listener twice, shows what changes when you stand up: direct sound off the axis of the \
    speakers, and other reflections from desk and ceiling.";

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> maud::Markup {
    let variant = data.variants.last().map_or("", |variant| variant.name);
    let inside = html! {
        @match &data.between {
            Some(view) => (comparison::differences(view, &format!("in the state {variant}"))),
            None => p { (ONE_SEAT) },
        }
        @if let Some(sheet) = data.setting() { (blocks(&heights(&sheet))) }
    };
    head::section("seats", &inside)
}
