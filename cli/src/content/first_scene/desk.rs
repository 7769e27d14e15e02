//! The desk before the seat of a first scene.

use super::written;
use earline_engine::analysis::setting_out::FirstLayout;
use earline_engine::scene::Units;
use std::ops::RangeInclusive;

/// An ordinary desk, metres: from its near to its far edge, its top above the floor, and how thick that is.
const DEPTH_M: f64 = 0.7;
const TOP_M: f64 = 0.73;
const THICK_M: f64 = 0.03;
/// From its near edge to the ears, metres: elbows on it.
const REACH_M: f64 = 0.3;
/// Width and depth of what is a desk, metres.
const LEAST_M: f64 = 0.3;
/// Left to either side of it at least, metres.
const ASIDE_M: f64 = 0.05;

/// A desk, its corner nearest to front and left wall, and its size, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Desk {
    corner_m: [f64; 3],
    size_m: [f64; 3],
}

impl Desk {
    /// A desk of this width, in the middle before the seat.
    ///
    /// # Errors
    /// The widths that fit, metres; none where there is no room for a desk at all.
    pub(crate) fn before(
        layout: &FirstLayout,
        width_m: f64,
    ) -> Result<Self, Option<RangeInclusive<f64>>> {
        let near_m = layout.seat.x - REACH_M;
        let depth_m = DEPTH_M.min(near_m - ASIDE_M);
        let most_m = ((layout.room.width_m - 2.0 * ASIDE_M) * 1e3).round() / 1e3;
        let widths_m = LEAST_M..=most_m;
        if depth_m < LEAST_M || layout.seat.z <= TOP_M || widths_m.is_empty() {
            return Err(None);
        }
        if !widths_m.contains(&width_m) {
            return Err(Some(widths_m));
        }
        Ok(Self {
            corner_m: [near_m - depth_m, layout.seat.y - width_m / 2.0, TOP_M - THICK_M],
            size_m: [depth_m, width_m, THICK_M],
        })
    }

    /// The section of the scene.
    pub(super) fn text(&self, units: Units) -> String {
        let list = |sizes: [f64; 3]| sizes.map(|m| format!("\"{}\"", written(m, units))).join(", ");
        format!(
            "# Its top alone, which is what reflects. Depth and height are those of an ordinary desk.\n\
             [[furniture]]\nname = \"desk\"\ncorner = [{}]\nsize = [{}]   # front to back, left to right, up\n\
             material = \"wood, solid\"\n",
            list(self.corner_m),
            list(self.size_m),
        )
    }
}
