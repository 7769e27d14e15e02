//! The pictures of rooms and sound: plan and section, elevations, curves, maps, the setting-out sheet
//! and the spreading of a wavefront.
//!
//! One way through: [`Input`] holds what is there, a function for each picture lays it out as a
//! [`Drawing`] in millimetres on paper, and a drawing gives SVG and PNG files.

use crate::canvas::{Drawing, Point, Rect, svg};

mod axes;
mod colormap;
mod contour;
mod curves;
mod data;
mod elevation;
pub(crate) mod figures;
mod groups;
mod maps;
mod palette;
mod room;
mod setting_out;
mod sheet;
mod wavefront;

#[cfg(test)]
mod tests;

pub(crate) use curves::bass_comparison::compared_bass;
pub(crate) use curves::bass_decay::bass_decay;
pub(crate) use curves::bass_response::bass;
pub(crate) use curves::decay::decay;
pub(crate) use curves::energy_time::{energy_time, energy_time_sheet};
pub(crate) use curves::etc_overlay::overlay;
pub(crate) use curves::reverberation::reverberation;
pub(crate) use curves::reverberation_overlay::reverberation_compared;
pub(crate) use data::from_compared::{ShownState, from_compared};
pub(crate) use data::from_trace::from_trace;
pub(crate) use data::input::Input;
pub(crate) use data::outlines;
pub(crate) use elevation::sheet::{ELEVATIONS, elevation_sheets, elevations, hangings};
pub(crate) use maps::level_map::bass_levels;
pub(crate) use maps::objective_map::place_map;
pub(crate) use maps::seat_map::bass_seats;
pub(crate) use maps::spreading::spreading;
pub(crate) use palette::speaker as speaker_style;
pub(crate) use room::plan::{plan, plan_sheet};
pub(crate) use room::plan_comparison::plans;
pub(crate) use room::section::{section, section_sheet};
pub(crate) use setting_out::sheet::tape_sheet;
pub(crate) use sheet::viewport::{Sheet, Window};
pub(crate) use wavefront::{Sizes, poster, shoot};

use sheet::frame;

/// A drawing without the frame of its sheet, where it has one, as SVG for within a page.
pub(crate) fn unframed(drawing: &Drawing, prefix: &str) -> String {
    let sheet = Rect { min: Point::ZERO, max: drawing.size };
    let frame = if drawing.size == frame::SHEET { frame::FRAME + 0.1 } else { 0.0 };
    svg::part(drawing, sheet.grown(-frame), &drawing.title, prefix)
}
