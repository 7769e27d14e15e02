//! Lengths as people read them off a tape.

use earline_engine::scene::{Surface, Units};
use glam::{DVec2, DVec3};

const METRES_PER_INCH: f64 = 0.0254;
const METRES_PER_FOOT: f64 = 0.3048;
const EIGHTHS_PER_INCH: u64 = 8;
const EIGHTHS_PER_FOOT: u64 = 96;

/// A length to set out: `1.34 m`, or `4 ft 4 3/4 in`.
pub(crate) fn length(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} m", signed(metres, 2)),
        Units::Imperial => feet_and_inches(metres),
    }
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
        Units::Imperial => format!("{:.0} ft²", square_metres / METRES_PER_FOOT.powi(2)),
    }
}

/// A volume: `58.3 m³`, or `2057 ft³`.
pub(crate) fn volume(cubic_metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{cubic_metres:.1} m³"),
        Units::Imperial => format!("{:.0} ft³", cubic_metres / METRES_PER_FOOT.powi(3)),
    }
}

/// Where to put the tape on a surface of the room: two distances and what each is from.
pub(crate) fn spot(surface: Surface, point: DVec3, units: Units) -> String {
    both(surface, surface.tape(point).map(|m| length(m, units)))
}

/// How far a rectangle on a surface reaches: from its least tape coordinates to its greatest.
pub(crate) fn reach(surface: Surface, low: DVec2, high: DVec2, units: Units) -> String {
    let span = |axis: usize| span(low[axis], high[axis], units);
    both(surface, [span(0), span(1)])
}

/// `0.92 to 1.78 m`, or `3 ft to 5 ft 10 in`.
pub(crate) fn span(low: f64, high: f64, units: Units) -> String {
    let (low, high) = (length(low, units), length(high, units));
    let low = if units == Units::Metric { low.trim_end_matches(" m") } else { &low };
    format!("{low} to {high}")
}

fn both(surface: Surface, [first, second]: [String; 2]) -> String {
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

/// Feet, inches and the nearest eighth; whole eighths are counted first, so every carry is right.
fn feet_and_inches(metres: f64) -> String {
    let eighths_exact = metres.abs() / METRES_PER_INCH * EIGHTHS_PER_INCH as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "rounded and not negative; the cast saturates far beyond any room"
    )]
    let eighths = eighths_exact.round() as u64;
    let (feet, rest) = (eighths / EIGHTHS_PER_FOOT, eighths % EIGHTHS_PER_FOOT);
    let (inches, part) = (rest / EIGHTHS_PER_INCH, rest % EIGHTHS_PER_INCH);
    let mut words = Vec::new();
    if feet > 0 {
        words.push(format!("{feet} ft"));
    }
    if inches > 0 {
        words.push(inches.to_string());
    }
    if let Some(fraction) = fraction(part) {
        words.push(fraction.to_owned());
    }
    if inches > 0 || part > 0 {
        words.push("in".to_owned());
    }
    if words.is_empty() {
        return "0 in".to_owned();
    }
    let sign = if metres < 0.0 { "-" } else { "" };
    format!("{sign}{}", words.join(" "))
}

fn fraction(eighths: u64) -> Option<&'static str> {
    ["1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"]
        .get(usize::try_from(eighths).ok()?.checked_sub(1)?)
        .copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCH: f64 = METRES_PER_INCH;

    fn imperial(inches: f64) -> String {
        length(inches * INCH, Units::Imperial)
    }

    /// One inch is exactly 25.4 mm (international inch, 1959).
    #[test]
    fn imperial_reads_off_a_tape() {
        assert_eq!(imperial(52.625), "4 ft 4 5/8 in");
        assert_eq!(length(1.337, Units::Imperial), "4 ft 4 5/8 in");
        assert_eq!(length(2.9, Units::Imperial), "9 ft 6 1/8 in");
        assert_eq!(imperial(114.0), "9 ft 6 in");
        assert_eq!(imperial(114.5), "9 ft 6 1/2 in");
        assert_eq!(imperial(48.0), "4 ft");
        assert_eq!(imperial(48.25), "4 ft 1/4 in");
        assert_eq!(imperial(7.0), "7 in");
        assert_eq!(imperial(0.625), "5/8 in");
        assert_eq!(imperial(0.0), "0 in");
        assert_eq!(imperial(-3.5), "-3 1/2 in");
        assert_eq!(imperial(-0.01), "0 in");
    }

    /// On both sides of every rounding edge the eighths carry into inches and the inches into feet.
    #[test]
    fn carries_at_every_boundary() {
        assert_eq!(imperial(11.93), "11 7/8 in");
        assert_eq!(imperial(11.94), "1 ft");
        assert_eq!(imperial(12.06), "1 ft");
        assert_eq!(imperial(12.07), "1 ft 1/8 in");
        assert_eq!(imperial(6.94), "7 in");
        assert_eq!(imperial(23.99), "2 ft");
        for eighth in 0..=960_u32 {
            let inches = f64::from(eighth) / 8.0;
            for shift in [-0.0624, -0.001, 0.0, 0.001, 0.0624] {
                let text = imperial((inches + shift).max(0.0));
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
        assert_eq!(offset(0.5 * INCH, Units::Imperial), "1/2 in");
    }

    #[test]
    fn areas_and_volumes() {
        assert_eq!(area(23.78, Units::Metric), "23.8 m²");
        assert_eq!(area(METRES_PER_FOOT.powi(2) * 256.0, Units::Imperial), "256 ft²");
        assert_eq!(volume(58.261, Units::Metric), "58.3 m³");
        assert_eq!(volume(METRES_PER_FOOT.powi(3) * 2057.0, Units::Imperial), "2057 ft³");
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
