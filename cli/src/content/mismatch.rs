//! How well the two speakers of a pair match at a seat.

use crate::format::{length, time};
use earline_engine::scene::Units;

/// Less than a tape can tell, metres.
pub(crate) const NEGLIGIBLE_M: f64 = 0.0005;

/// How much farther and later one speaker is than the other: `left is 12 mm farther and 35 µs later`;
/// `None` where a tape cannot tell.
pub(crate) fn mismatch(left_farther_m: f64, left_later_s: f64, units: Units) -> Option<String> {
    if left_farther_m.abs() < NEGLIGIBLE_M {
        return None;
    }
    let side = if left_farther_m > 0.0 { "left" } else { "right" };
    let farther = length::offset(left_farther_m.abs(), units);
    let later = time::microseconds(left_later_s.abs());
    Some(format!("{side} is {farther} farther and {later} later"))
}
