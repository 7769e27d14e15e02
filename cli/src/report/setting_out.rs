//! The setting-out sheet.

use super::gather::ReportData;
use super::head::Section;
use crate::content::placement_tolerance::document::heights;
use crate::content::setting_out::document::distances;
use crate::plot;
use crate::render::html::{blocks, figure};
use maud::html;

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Option<Section> {
    let sheet = data.setting()?;
    let inside = html! {
        p {
            "Hook the tape in the front left corner. Every cross is so far from the front wall and so far \
             from the left wall; the points themselves are plumb above their crosses."
        }
        (figure(&plot::tape_sheet(&sheet), "tape-"))
        details {
            summary { "Distances to check, and heights" }
            (blocks(&distances(&sheet)))
            (blocks(&heights(&sheet)))
        }
    };
    Some(Section::new("tape", "Where to put the tape", inside))
}
