//! Lengths written for people, as a tape shows them.

use super::INCH_M;
use crate::scene::model::Units;

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
