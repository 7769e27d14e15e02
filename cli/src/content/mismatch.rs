//! How well the two speakers of a pair match at a seat.

use crate::format::{length, time};
use earline_engine::scene::Units;
use earline_engine::simulate::PairSimulation;

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

/// How much the left speaker of a pair is farther and later at one seat than the right one.
pub(crate) fn pair_mismatch(
    left: &PairSimulation,
    right: &PairSimulation,
    units: Units,
) -> Option<String> {
    let farther_m = left.direct.distance_m - right.direct.distance_m;
    mismatch(farther_m, left.direct.time_s - right.direct.time_s, units)
}
