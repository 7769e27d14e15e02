//! The pictures of a trace, and the setting-out sheet: the plan from above, the section from the side, energy against time,
//! the six surfaces seen flat, the decay band by band, and the reverberation time against a
//! published recommendation.
//!
//! One way through: [`Input`] says what is there, [`plan()`], [`section()`], [`energy_time()`],
//! [`ELEVATIONS`], [`decay()`], [`reverberation()`] and [`spreading()`] lay it out as a [`Drawing`] in
//! millimetres on paper, as [`tape_sheet()`] does with a setting-out sheet, and a drawing gives SVG
//! text and, through
//! that same text, a PNG file. Nothing here depends on the machine it runs on: the
//! typeface is built in, and equal input gives equal bytes.

mod model;
mod palette;
mod text;

mod place;
mod spread;

mod window;

mod scale;
mod view;

pub(crate) mod figures;
mod from_compared;
mod from_decay;
mod from_snapshots;
mod from_trace;
mod from_zones;
mod hang;
mod input;
mod input_decay;
mod input_spreading;
mod letters;

mod canvas;
mod symbol;
mod tag;

mod border;
mod column;
mod inside;
mod key;
mod labels;
mod legend;
mod ordinate;
mod paths;
mod room;
mod ticks;

mod axes;
mod band_axes;
mod band_table;
mod bass;
mod bass_decay;
mod bass_levels;
mod bass_room;
mod bass_seats;
mod compared_bass;
mod decay;
mod elevation;
mod elevation_layout;
mod elevation_legend;
mod elevation_words;
mod energy_time;
mod face;
mod isobands;
mod level_shades;
mod levels;
mod overlay;
mod place_map;
mod place_shades;
mod plan;
mod plans;
mod reverberation;
mod section;
mod speaker_key;
mod spreading;
mod tape_plan;
mod tape_sheet;
mod tape_words;
mod wave;

mod png;
mod svg;

#[cfg(test)]
mod fixture;
#[cfg(test)]
mod fixture_bass;
#[cfg(test)]
mod fixture_decay;
#[cfg(test)]
mod tests;

pub(crate) use bass::bass;
pub(crate) use bass_decay::bass_decay;
pub(crate) use bass_levels::bass_levels;
pub(crate) use bass_seats::bass_seats;
pub(crate) use canvas::dash_pattern;
pub(crate) use compared_bass::compared_bass;
pub(crate) use decay::decay;
pub(crate) use elevation::elevation_sheets;
pub(crate) use elevation::{ELEVATIONS, elevations};
pub(crate) use energy_time::energy_time;
pub(crate) use energy_time::energy_time_sheet;
pub(crate) use from_compared::{Shown, from_compared};
pub(crate) use from_trace::from_trace;
pub(crate) use hang::hangings;
pub(crate) use input::{Input, Speaker};
pub use model::Drawing;
pub(crate) use overlay::overlay;
pub(crate) use palette::speaker as speaker_style;
pub(crate) use place_map::place_map;
pub(crate) use plan::plan;
pub(crate) use plan::plan_sheet;
pub(crate) use plans::plans;
pub(crate) use reverberation::reverberation;
pub(crate) use section::section;
pub(crate) use section::section_sheet;
pub(crate) use spreading::spreading;
pub(crate) use svg::hex;
pub(crate) use tape_sheet::tape_sheet;
pub(crate) use text::{FAMILY, PACKED};
pub(crate) use wave::{Sizes, poster, shoot};
pub(crate) use window::{Sheet, Window};

impl Drawing {
    /// Its file name without ending: `plan`, `compare-plans`.
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The whole SVG file; text is live text, and the typeface is inside.
    pub fn svg(&self) -> String {
        svg::with_typeface(self)
    }

    /// The whole PNG file, at 200 dots an inch.
    ///
    /// # Errors
    /// When a rasteriser or encoder refuses; with drawings made here that would be a fault of ours.
    pub fn png(&self) -> anyhow::Result<Vec<u8>> {
        png::encode(self)
    }
}

/// A drawing without the frame of its sheet, as SVG for within a page.
pub(crate) fn unframed(drawing: &Drawing, prefix: &str) -> String {
    let sheet = model::Rect { min: model::Point::ZERO, max: drawing.size };
    svg::part(drawing, sheet.grown(-border::FRAME - 0.1), &drawing.title, prefix)
}
