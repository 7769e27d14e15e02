//! Lengths as people read them off a tape.

use super::number::{fixed, with_minus};
use earline_engine::scene::{
    INCH_M, Surface, Units, format_length, format_limits, format_outside, parse_length,
};
use glam::{DVec2, DVec3};
use std::ops::RangeInclusive;

const FOOT_M: f64 = 12.0 * INCH_M;

/// A length to set out: `1.34 m`, or `4 ft 4 3/4 in`.
///
/// Coarser than [`format_length`] in metres: nobody hangs a panel to the millimetre.
pub(crate) fn length(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} m", fixed(metres, 2)),
        Units::Imperial => with_minus(&format_length(metres, units)),
    }
}

/// A distance to be marked with a pencil: `1337 mm`, or `4 ft 4 5/8 in`.
pub(crate) fn mark(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", fixed(metres * 1000.0, 0)),
        Units::Imperial => with_minus(&format_length(metres, units)),
    }
}

/// A distance outside of a range as [`mark`] has it, or finer where that looks as if it were inside.
pub(crate) fn beyond(metres: f64, limits: &RangeInclusive<f64>, units: Units) -> String {
    let shown = mark(metres, units);
    let seems_inside = parse_length(&shown).is_ok_and(|read| limits.contains(&read));
    let is_nothing = metres != 0.0 && !shown.contains(|c: char| matches!(c, '1'..='9'));
    if seems_inside || is_nothing {
        with_minus(&format_outside(metres, limits, units))
    } else {
        shown
    }
}

/// The ends of a range, rounded inward: `0.50 m to 100.00 m`, or `1 ft 7 3/4 in to 328 ft 1 in`.
pub(crate) fn limits(limits: &RangeInclusive<f64>, units: Units) -> String {
    format_limits(limits, units).join(" to ")
}

/// A difference with its sign: `+12 mm`, `−1/2 in`, `0 mm`.
pub(crate) fn difference(metres: f64, units: Units) -> String {
    let text = mark(metres, units);
    let is_more = 0.0 < metres && text.contains(|c: char| matches!(c, '1'..='9'));
    if is_more { format!("+{text}") } else { text }
}

/// A small difference: `12 mm`, or `1/2 in`. From a metre or a foot up it reads as a length.
pub(crate) fn offset(metres: f64, units: Units) -> String {
    match units {
        Units::Metric if metres.abs() < 0.9995 => format!("{} mm", fixed(metres * 1000.0, 0)),
        _ => length(metres, units),
    }
}

/// An area: `23.8 m²`, or `256 ft²`.
pub(crate) fn area(square_metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} m²", fixed(square_metres, 1)),
        Units::Imperial => format!("{} ft²", fixed(square_metres / FOOT_M.powi(2), 0)),
    }
}

/// An area that is known roughly: `24 m²`, or `260 ft²`.
pub(crate) fn rough_area(square_metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{square_metres:.0} m²"),
        Units::Imperial => {
            format!("{:.0} ft²", (square_metres / FOOT_M.powi(2) / 10.0).round() * 10.0)
        }
    }
}

/// A volume: `58.3 m³`, or `2057 ft³`.
pub(crate) fn volume(cubic_metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} m³", fixed(cubic_metres, 1)),
        Units::Imperial => format!("{} ft³", fixed(cubic_metres / FOOT_M.powi(3), 0)),
    }
}

/// Where to put the tape on a surface of the room: two distances and what each is from.
pub(crate) fn spot(surface: Surface, point: DVec3, units: Units) -> String {
    on_surface(surface, surface.tape(point).map(|m| length(m, units)))
}

/// How far a rectangle on a surface reaches: from its least tape coordinates to its greatest.
pub(crate) fn reach(surface: Surface, low: DVec2, high: DVec2, units: Units) -> String {
    let span = |axis: usize| span(low[axis], high[axis], units);
    on_surface(surface, [span(0), span(1)])
}

/// `0.92 to 1.78 m`, or `3 ft to 5 ft 10 in`.
pub(crate) fn span(low: f64, high: f64, units: Units) -> String {
    let (low, high) = (length(low, units), length(high, units));
    let low = if units == Units::Metric { low.trim_end_matches(" m") } else { &low };
    format!("{low} to {high}")
}

/// Two tape coordinates on a surface and what each is from: `1340 mm from front wall, 1200 mm up`.
pub(crate) fn on_surface(surface: Surface, [first, second]: [String; 2]) -> String {
    match surface.axis() {
        0 => format!("{first} from left wall, {second} up"),
        1 => format!("{first} from front wall, {second} up"),
        _ => format!("{first} from front wall, {second} from left wall"),
    }
}

/// Where a point in the open is: three distances.
pub(crate) fn position(point: DVec3, units: Units) -> String {
    let [x, y, z] = point.to_array().map(|m| length(m, units));
    format!("{x} from front wall, {y} from left wall, {z} up")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metric_in_centimetres_and_offsets_in_millimetres() {
        assert_eq!(length(1.337, Units::Metric), "1.34 m");
        assert_eq!(length(0.0, Units::Metric), "0.00 m");
        assert_eq!(length(-0.001, Units::Metric), "0.00 m");
        assert_eq!(length(-0.25, Units::Metric), "\u{2212}0.25 m");
        assert_eq!(length(9.999, Units::Metric), "10.00 m");
        assert_eq!(offset(0.0123, Units::Metric), "12 mm");
        assert_eq!(offset(-0.0002, Units::Metric), "0 mm");
        assert_eq!(offset(0.9994, Units::Metric), "999 mm");
        assert_eq!(offset(0.9996, Units::Metric), "1.00 m");
        assert_eq!(offset(0.5 * INCH_M, Units::Imperial), "1/2 in");
    }

    #[test]
    fn marks_in_millimetres_or_eighths() {
        assert_eq!(mark(1.337, Units::Metric), "1337 mm");
        assert_eq!(mark(-0.0004, Units::Metric), "0 mm");
        assert_eq!(mark(11.9375 * INCH_M, Units::Imperial), "1 ft");
        assert_eq!(difference(0.0123, Units::Metric), "+12 mm");
        assert_eq!(difference(-0.0123, Units::Metric), "\u{2212}12 mm");
        assert_eq!(difference(0.0004, Units::Metric), "0 mm");
        assert_eq!(difference(0.5 * INCH_M, Units::Imperial), "+1/2 in");
    }

    #[test]
    fn beyond_a_limit_looks_beyond_it() {
        let shown = |metres| beyond(metres, &(0.3..=2.95), Units::Metric);
        assert_eq!(shown(3.9), "3900 mm");
        assert_eq!(shown(2.9503), "2.9503 m");
        assert_eq!(shown(1e-300), "1e\u{2212}300 m");
        assert_eq!(shown(0.0), "0 mm");
        assert_eq!(shown(-1.0), "\u{2212}1000 mm");
        assert_eq!(limits(&(0.5..=100.0), Units::Imperial), "1 ft 7 3/4 in to 328 ft 1 in");
    }

    /// What is written is read back to half a millimetre, or to half an eighth of an inch.
    #[test]
    fn marks_read_back() {
        for step in 0..40_000 {
            let metres = f64::from(step) * 0.000_237;
            for (units, slack) in [(Units::Metric, 0.0005), (Units::Imperial, INCH_M / 16.0)] {
                let text = mark(metres, units);
                let read = earline_engine::scene::parse_length(&text);
                assert!(read.is_ok_and(|m| (m - metres).abs() <= slack + 1e-9), "{metres} {text}");
            }
        }
    }

    #[test]
    fn areas_and_volumes() {
        assert_eq!(area(23.78, Units::Metric), "23.8 m²");
        assert_eq!(area(FOOT_M.powi(2) * 256.0, Units::Imperial), "256 ft²");
        assert_eq!(volume(58.261, Units::Metric), "58.3 m³");
        assert_eq!(volume(FOOT_M.powi(3) * 2057.0, Units::Imperial), "2057 ft³");
    }

    #[test]
    fn spots_say_which_distance_is_which() {
        let point = DVec3::new(1.337, 0.7, 1.2);
        let metric = |surface| spot(surface, point, Units::Metric);
        assert_eq!(metric(Surface::Left), "1.34 m from front wall, 1.20 m up");
        assert_eq!(metric(Surface::Back), "0.70 m from left wall, 1.20 m up");
        assert_eq!(metric(Surface::Ceiling), "1.34 m from front wall, 0.70 m from left wall");
        let (low, high) = (DVec2::new(0.924, 0.3048), DVec2::new(1.78, 1.0));
        let reach = |units| reach(Surface::Left, low, high, units);
        assert_eq!(reach(Units::Metric), "0.92 to 1.78 m from front wall, 0.30 to 1.00 m up");
        assert_eq!(
            reach(Units::Imperial),
            "3 ft 3/8 in to 5 ft 10 1/8 in from front wall, 1 ft to 3 ft 3 3/8 in up"
        );
    }
}
