//! Lengths written for people, as a tape shows them.

use super::{INCH_M, parse_length};
use crate::scene::model::Units;
use std::ops::RangeInclusive;

/// Beyond any tape: such a slip is shown in powers of ten.
const HUGE_M: f64 = 1.0e6;

/// A length in metres as a person reads it off a tape: metres and millimetres, or feet, inches
/// and eighths.
///
/// ```
/// use earline_engine::scene::{format_length, Units};
/// assert_eq!(format_length(2.9, Units::Metric), "2.90 m");
/// assert_eq!(format_length(0.035, Units::Metric), "35 mm");
/// assert_eq!(format_length(2.9083, Units::Imperial), "9 ft 6 1/2 in");
/// ```
pub fn format_length(length_m: f64, units: Units) -> String {
    let size_m = length_m.abs();
    let shown = match units {
        _ if HUGE_M < size_m => format!("{size_m:e} m"),
        Units::Metric => metric(size_m),
        Units::Imperial => imperial(size_m),
    };
    // What rounds to nothing has no sign.
    let is_nothing = !shown.contains(|c: char| matches!(c, '1'..='9'));
    let sign = if length_m < 0.0 && !is_nothing { "-" } else { "" };
    format!("{sign}{shown}")
}

/// The ends of a range of lengths as a person reads them off a tape, rounded inward: what is shown is
/// in the range.
///
/// ```
/// use earline_engine::scene::{format_limits, Units};
/// let [least, most] = format_limits(&(0.5..=100.0), Units::Imperial);
/// assert_eq!([least.as_str(), most.as_str()], ["1 ft 7 3/4 in", "328 ft 1 in"]);
/// ```
pub fn format_limits(limits: &RangeInclusive<f64>, units: Units) -> [String; 2] {
    let step_m = match units {
        Units::Metric => 0.001,
        Units::Imperial => INCH_M / 8.0,
    };
    [(*limits.start(), step_m), (*limits.end(), -step_m)].map(|(end_m, inward_m)| {
        let [nearest, next] = [end_m, end_m + inward_m].map(|m| format_length(m, units));
        let holds = |shown: &str| parse_length(shown).is_ok_and(|read| limits.contains(&read));
        // A range between two marks has no better ones than those beside it.
        if holds(&nearest) || !holds(&next) { nearest } else { next }
    })
}

/// A length outside of a range, with as many digits as it takes to see that it is.
///
/// ```
/// use earline_engine::scene::{format_outside, Units};
/// let shown = |length_m| format_outside(length_m, &(0.5..=100.0), Units::Metric);
/// assert_eq!(shown(0.4), "0.40 m");
/// assert_eq!(shown(100.0001), "100.0001 m");
/// assert_eq!(shown(1e-300), "1e-300 m");
/// ```
pub fn format_outside(length_m: f64, limits: &RangeInclusive<f64>, units: Units) -> String {
    let is_seen = |shown: &String| {
        parse_length(shown).is_ok_and(|read| {
            let same_side = (read < *limits.start()) == (length_m < *limits.start());
            !limits.contains(&read) && same_side && (read == 0.0) == (length_m == 0.0)
        })
    };
    let (in_unit, unit) = match units {
        Units::Metric => (length_m, "m"),
        Units::Imperial => (length_m / (12.0 * INCH_M), "ft"),
    };
    let finer = |digits: usize| format!("{in_unit:.digits$} {unit}");
    let shown = std::iter::once(format_length(length_m, units)).chain((4..=12).map(finer));
    match shown.take_while(|_| length_m.abs() <= HUGE_M).find(is_seen) {
        Some(shown) => shown,
        None => format!("{length_m:e} m"),
    }
}

fn metric(size_m: f64) -> String {
    let mm = (size_m * 1000.0).round();
    if mm < 100.0 {
        format!("{mm} mm")
    } else if mm % 10.0 == 0.0 {
        format!("{:.2} m", mm / 1000.0)
    } else {
        format!("{:.3} m", mm / 1000.0)
    }
}

fn imperial(size_m: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "far below 2^63: HUGE_M is 3·10^8 eighths")]
    let eighths = (size_m / INCH_M * 8.0).round() as i64;
    let (feet, inches) = (eighths / 96, eighths % 96 / 8);
    let fraction = ["", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];
    let fraction = usize::try_from(eighths % 8)
        .ok()
        .and_then(|rest| fraction.get(rest))
        .copied()
        .unwrap_or("");
    let mut words = Vec::new();
    if feet > 0 {
        words.push(format!("{feet} ft"));
    }
    if inches > 0 {
        words.push(inches.to_string());
    }
    if !fraction.is_empty() {
        words.push(fraction.to_owned());
    }
    if inches > 0 || !fraction.is_empty() {
        words.push("in".to_owned());
    }
    if words.is_empty() { "0 in".to_owned() } else { words.join(" ") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tape_shows_millimetres_or_eighths() {
        for (m, metric, imperial) in [
            (0.0, "0 mm", "0 in"),
            (0.0254, "25 mm", "1 in"),
            (0.003_175, "3 mm", "1/8 in"),
            (0.3048, "0.305 m", "1 ft"),
            (0.3048 + 0.0127, "0.318 m", "1 ft 1/2 in"),
            (2.8956, "2.896 m", "9 ft 6 in"),
            (-0.0001, "0 mm", "0 in"),
            (-0.4, "-0.40 m", "-1 ft 3 3/4 in"),
        ] {
            assert_eq!(format_length(m, Units::Metric), metric);
            assert_eq!(format_length(m, Units::Imperial), imperial);
        }
        assert_eq!(format_length(1e300, Units::Imperial), "1e300 m");
    }

    /// Both ends read back into the range, and no mark farther out does.
    #[test]
    fn limits_are_rounded_inward() {
        for limits in [0.5..=100.0, 0.001..=2.0, 0.0..=0.3, 0.0004..=1.337_77, 1.0001..=328.084] {
            for units in [Units::Metric, Units::Imperial] {
                for shown in format_limits(&limits, units) {
                    let read = parse_length(&shown);
                    assert!(read.is_ok_and(|m| limits.contains(&m)), "{limits:?}: {shown}");
                }
            }
        }
        assert_eq!(format_limits(&(0.5..=2.0), Units::Metric), ["0.50 m", "2.00 m"]);
        assert_eq!(format_limits(&(1.0001..=1.0002), Units::Metric), ["1.00 m", "1.00 m"]);
    }

    #[test]
    fn what_is_outside_looks_it() {
        let limits = 0.5..=100.0;
        for (m, metric, imperial) in [
            (0.4, "0.40 m", "1 ft 3 3/4 in"),
            (0.4999, "0.4999 m", "1 ft 7 5/8 in"),
            (0.499_999_9, "0.4999999 m", "1 ft 7 5/8 in"),
            (100.000_001, "100.000001 m", "328.0840 ft"),
            (100.002, "100.002 m", "328 ft 1 1/8 in"),
            (0.000_04, "0.00004 m", "0.0001 ft"),
            (1e-300, "1e-300 m", "1e-300 m"),
            (100.000_000_000_000_01, "1.0000000000000001e2 m", "328.0840 ft"),
            (0.0, "0 mm", "0 in"),
            (-2.0, "-2.00 m", "-6 ft 6 3/4 in"),
            (1e300, "1e300 m", "1e300 m"),
        ] {
            assert_eq!(format_outside(m, &limits, Units::Metric), metric);
            assert_eq!(format_outside(m, &limits, Units::Imperial), imperial);
        }
    }

    fn inches_shown(inches: f64) -> String {
        format_length(inches * INCH_M, Units::Imperial)
    }

    /// One inch is exactly 25.4 mm (international inch, 1959; from memory).
    #[test]
    fn imperial_reads_off_a_tape() {
        assert_eq!(inches_shown(52.625), "4 ft 4 5/8 in");
        assert_eq!(format_length(1.337, Units::Imperial), "4 ft 4 5/8 in");
        assert_eq!(format_length(2.9, Units::Imperial), "9 ft 6 1/8 in");
        assert_eq!(inches_shown(114.0), "9 ft 6 in");
        assert_eq!(inches_shown(114.5), "9 ft 6 1/2 in");
        assert_eq!(inches_shown(48.0), "4 ft");
        assert_eq!(inches_shown(48.25), "4 ft 1/4 in");
        assert_eq!(inches_shown(7.0), "7 in");
        assert_eq!(inches_shown(0.625), "5/8 in");
        assert_eq!(inches_shown(0.0), "0 in");
        assert_eq!(inches_shown(-3.5), "-3 1/2 in");
        assert_eq!(inches_shown(-0.01), "0 in");
    }

    /// On both sides of every rounding edge the eighths carry into inches and the inches into feet.
    #[test]
    fn carries_at_every_boundary() {
        assert_eq!(inches_shown(11.93), "11 7/8 in");
        assert_eq!(inches_shown(11.94), "1 ft");
        assert_eq!(inches_shown(12.06), "1 ft");
        assert_eq!(inches_shown(12.07), "1 ft 1/8 in");
        assert_eq!(inches_shown(6.94), "7 in");
        assert_eq!(inches_shown(23.99), "2 ft");
        for eighth in 0..=960_u32 {
            let inches = f64::from(eighth) / 8.0;
            for shift in [-0.0624, -0.001, 0.0, 0.001, 0.0624] {
                let text = inches_shown((inches + shift).max(0.0));
                assert_eq!(back_to_eighths(&text), eighth, "{inches} {shift} {text}");
            }
        }
    }

    /// Reads the text back, and insists that every part of it is a mark on the tape.
    fn back_to_eighths(text: &str) -> u32 {
        let mut eighths = 0;
        let mut pending = 0;
        for word in text.split(' ') {
            match word {
                "ft" => {
                    assert!(pending > 0, "{text}");
                    eighths += pending * 96;
                    pending = 0;
                }
                "in" => {}
                _ => match word.split_once('/') {
                    Some((n, d)) => {
                        let (n, d) = (whole(n), whole(d));
                        assert!(n % 2 == 1 && n < d && 8 % d == 0, "{text}");
                        eighths += pending * 8 + n * 8 / d;
                        pending = 0;
                    }
                    None => pending = whole(word),
                },
            }
        }
        assert!(pending < 12, "{text}");
        eighths + pending * 8
    }

    fn whole(text: &str) -> u32 {
        text.parse().unwrap_or(u32::MAX)
    }
}
