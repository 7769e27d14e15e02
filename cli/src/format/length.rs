//! Lengths as people read them off a tape.

use earline_engine::scene::{INCH_M, Surface, Units, show_length};
use glam::{DVec2, DVec3};

const FOOT_M: f64 = 12.0 * INCH_M;

/// A length to set out: `1.34 m`, or `4 ft 4 3/4 in`.
///
/// Coarser than [`show_length`] in metres: nobody hangs a panel to the millimetre.
pub(crate) fn length(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} m", signed(metres, 2)),
        Units::Imperial => show_length(metres, units),
    }
}

/// A distance to be marked with a pencil: `1337 mm`, or `4 ft 4 5/8 in`.
pub(crate) fn mark(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", signed(metres * 1000.0, 0)),
        Units::Imperial => show_length(metres, units),
    }
}

/// A difference with its sign: `+12 mm`, `−1/2 in`, `0 mm`.
pub(crate) fn difference(metres: f64, units: Units) -> String {
    let text = mark(metres, units);
    let is_more = 0.0 < metres && text.contains(|c: char| matches!(c, '1'..='9'));
    if is_more { format!("+{text}") } else { text.replacen('-', "\u{2212}", 1) }
}

/// A small difference: `12 mm`, or `1/2 in`. From a metre or a foot up it reads as a length.
pub(crate) fn offset(metres: f64, units: Units) -> String {
    match units {
        Units::Metric if metres.abs() < 0.9995 => format!("{} mm", signed(metres * 1000.0, 0)),
        _ => length(metres, units),
    }
}

/// An area: `23.8 m²`, or `256 ft²`.
pub(crate) fn area(square_metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{square_metres:.1} m²"),
        Units::Imperial => format!("{:.0} ft²", square_metres / FOOT_M.powi(2)),
    }
}

/// A volume: `58.3 m³`, or `2057 ft³`.
pub(crate) fn volume(cubic_metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{cubic_metres:.1} m³"),
        Units::Imperial => format!("{:.0} ft³", cubic_metres / FOOT_M.powi(3)),
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

/// A number with so many decimals, never written as minus nought.
fn signed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').bytes().all(|b| matches!(b, b'0' | b'.')) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metric_in_centimetres_and_offsets_in_millimetres() {
        assert_eq!(length(1.337, Units::Metric), "1.34 m");
        assert_eq!(length(0.0, Units::Metric), "0.00 m");
        assert_eq!(length(-0.001, Units::Metric), "0.00 m");
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
