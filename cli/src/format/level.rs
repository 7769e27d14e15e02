//! Levels and differences of levels as people read them, to a tenth of a decibel.

use super::number::{MISSING, fixed, signed};
use std::cmp::Ordering;

/// A level with its unit: `−7.2 dB`, or `silent` where no sound arrives.
pub(crate) fn with_unit(db: f64) -> String {
    if db.is_finite() { format!("{} dB", fixed(db, 1)) } else { "silent".to_owned() }
}

/// A level under a head that has the unit: `−7.2`, or `none` where no sound arrives.
pub(crate) fn bare(db: f64) -> String {
    if db.is_finite() { fixed(db, 1) } else { "none".to_owned() }
}

/// A difference of levels without its unit: `+2.3`, `−6.0`, `0.0`; missing where one is silent.
pub(crate) fn difference(db: f64) -> String {
    if db.is_finite() { signed(db, 1) } else { MISSING.to_owned() }
}

/// Order of levels in decibels, the loudest first: to a hundredth, so that what mirrors itself keeps its order
/// whatever the last bit says.
pub(crate) fn loudest_first(a_db: f64, b_db: f64) -> Ordering {
    (b_db * 100.0).round().total_cmp(&(a_db * 100.0).round())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_with_and_without_their_unit() {
        assert_eq!(with_unit(-7.21), "\u{2212}7.2 dB");
        assert_eq!(with_unit(-0.04), "0.0 dB");
        assert_eq!(with_unit(f64::NEG_INFINITY), "silent");
        assert_eq!(bare(-7.21), "\u{2212}7.2");
        assert_eq!(bare(f64::NEG_INFINITY), "none");
    }

    #[test]
    fn differences_have_a_sign() {
        assert_eq!([2.31, -6.0, 0.01].map(difference), ["+2.3", "\u{2212}6.0", "0.0"]);
        assert_eq!(difference(f64::NEG_INFINITY), "–");
    }
}
