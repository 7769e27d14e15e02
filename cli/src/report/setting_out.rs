//! The setting-out sheet.

use super::gather::ReportData;
use super::head;
use crate::content::setting_out::document::distances;
use crate::plot;
use crate::render::html::{blocks, figure};
use maud::{Markup, html};

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Markup {
    let Some(sheet) = data.setting() else { return Markup::default() };
    let inside = html! {
        p {
            "Hook the tape in the front left corner. Every cross is so far from the front wall and so far \
             from the left wall; the points themselves are plumb above their crosses."
        }
        (figure(&plot::tape_sheet(&sheet), "tape-"))
        (blocks(&distances(&sheet)))
    };
    head::section("tape", &inside)
}
