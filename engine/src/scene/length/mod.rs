//! Lengths as people write them: `2.9 m`, `290 cm`, `9 ft 6 1/2 in`, `9' 6½"`.

mod format;
mod token;

pub use format::{format_length, format_limits, format_outside};

use crate::scene::messages::quoted;
use crate::scene::model::Units;
use token::Token;

/// Two places closer than this are the same place, and a thing this close to a wall is in it:
/// nobody reads a tape closer than a millimetre.
pub(super) const TAPE_SLACK_M: f64 = 0.001;

/// Metres in an inch, exactly (international yard and pound agreement of 1959; from memory).
pub const INCH_M: f64 = 0.0254;

/// Reason why a text is not a length, and a remedy.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct LengthError {
    /// The problem.
    pub message: String,
    /// A remedy.
    pub help: String,
}

/// Reads a length with its unit and gives it in metres.
///
/// Metric (`m`, `cm`, `mm`) and imperial (`ft`, `in`, `'`, `"`) units, larger before smaller;
/// inches and feet may carry fractions (`6 1/2`, `6½`). The value may be negative or zero: whether
/// that makes sense is for the caller to say.
///
/// ```
/// use earline_engine::scene::parse_length;
/// assert_eq!(parse_length("290 cm"), Ok(2.9));
/// assert_eq!(parse_length("9 ft 6 in"), parse_length("114 in"));
/// ```
///
/// # Errors
/// No unit, an unknown unit, a decimal comma, two systems mixed, or no number at all.
pub fn parse_length(text: &str) -> Result<f64, LengthError> {
    let tokens = token::split(text)?;
    let (sign, tokens) = match tokens.split_first() {
        Some((Token::Dash, rest)) => (-1.0, rest),
        _ => (1.0, tokens.as_slice()),
    };
    let parts = quantities(&quoted(text.trim()), tokens)?;
    let metres = sign * sum_m(&parts)?;
    if metres.is_finite() { Ok(metres) } else { Err(error("this number is too large", EXAMPLES)) }
}

/// The system that a length is written in; `None` for a text without a unit that is known.
///
/// ```
/// use earline_engine::scene::{Units, length_units};
/// assert_eq!(length_units("9 ft 6 in"), Some(Units::Imperial));
/// assert_eq!(length_units("290 cm"), Some(Units::Metric));
/// assert_eq!(length_units("2.9"), None);
/// ```
pub fn length_units(text: &str) -> Option<Units> {
    let tokens = token::split(text).ok()?;
    let unit = tokens.iter().find_map(|token| match token {
        Token::Unit(word) => Unit::from_word(word),
        _ => None,
    })?;
    Some(if unit.is_imperial() { Units::Imperial } else { Units::Metric })
}

const EXAMPLES: &str = "lengths look like \"2.9 m\", \"290 cm\", \"9 ft 6 in\" or \"9' 6 1/2\\\"\"";

/// A unit of length, larger before smaller within its system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Metre,
    Centimetre,
    Millimetre,
    Foot,
    Inch,
}

impl Unit {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word.to_lowercase().as_str() {
            "m" | "metre" | "metres" | "meter" | "meters" => Self::Metre,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Self::Centimetre,
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Self::Millimetre,
            "ft" | "foot" | "feet" => Self::Foot,
            "in" | "inch" | "inches" => Self::Inch,
            _ => return None,
        })
    }

    fn is_imperial(self) -> bool {
        matches!(self, Self::Foot | Self::Inch)
    }

    /// Size in the system's smallest unit, millimetre or inch.
    fn in_smallest(self) -> f64 {
        match self {
            Self::Metre => 1000.0,
            Self::Centimetre => 10.0,
            Self::Millimetre | Self::Inch => 1.0,
            Self::Foot => 12.0,
        }
    }

    /// Number of these in a metre (metric units only).
    fn per_metre(self) -> f64 {
        1000.0 / self.in_smallest()
    }
}

/// One number with its unit.
#[derive(Debug, Clone, Copy)]
struct Quantity {
    value: f64,
    unit: Unit,
}

fn quantities(text: &str, tokens: &[Token<'_>]) -> Result<Vec<Quantity>, LengthError> {
    let mut parts: Vec<Quantity> = Vec::new();
    let mut pending: Option<f64> = None;
    let mut fraction_taken = false;
    for token in tokens {
        match *token {
            Token::Number(value) => {
                if let Some(first) = pending.replace(value) {
                    return Err(error(
                        format!("{first} and {value} stand side by side with no unit between them"),
                        EXAMPLES,
                    ));
                }
                fraction_taken = false;
            }
            Token::Fraction(value) => {
                if fraction_taken || pending.is_some_and(|whole| whole.fract() != 0.0) {
                    return Err(error(
                        "a fraction follows a number that has one already",
                        EXAMPLES,
                    ));
                }
                pending = Some(pending.unwrap_or(0.0) + value);
                fraction_taken = true;
            }
            Token::Unit(word) => {
                let unit = Unit::from_word(word).ok_or_else(|| unknown_unit(word))?;
                let Some(value) = pending.take() else {
                    return Err(error(
                        format!("`{}` has no number before it", quoted(word)),
                        EXAMPLES,
                    ));
                };
                parts.push(Quantity { value, unit });
                fraction_taken = false;
            }
            // A dash may stand where a space may: 9'-6", 6-1/2 in.
            Token::Dash if !parts.is_empty() || pending.is_some() => {}
            Token::Dash => return Err(error("two minus signs", EXAMPLES)),
        }
    }
    match (pending, parts.last()) {
        (None, Some(_)) => Ok(parts),
        (None, None) => Err(error("there is no number here", EXAMPLES)),
        (Some(_), None) => Err(error(
            "this length has no unit",
            format!(
                "write \"{text} m\", \"{text} ft\" or whichever it is; without quotes, {text} means metres"
            ),
        )),
        (Some(rest), Some(last)) if last.unit == Unit::Foot => Err(error(
            format!("`{rest}` has no unit"),
            format!("if it is inches, write \"{text} in\""),
        )),
        (Some(rest), Some(_)) => Err(error(
            format!("`{rest}` has no unit"),
            "give every number its unit, as in \"2 m 90 cm\"",
        )),
    }
}

fn sum_m(parts: &[Quantity]) -> Result<f64, LengthError> {
    for pair in parts.windows(2) {
        let [first, second] = pair else { continue };
        if first.unit.is_imperial() != second.unit.is_imperial() {
            return Err(error("metric and imperial units are mixed in one length", EXAMPLES));
        }
        if first.unit.in_smallest() <= second.unit.in_smallest() {
            return Err(error("the larger unit comes first and each unit once", EXAMPLES));
        }
        if first.value.fract() != 0.0 {
            return Err(error(
                format!("{} is not a whole number, yet a smaller unit follows", first.value),
                "write \"9.5 ft\" or \"9 ft 6 in\", not both at once",
            ));
        }
    }
    Ok(match parts {
        [one] if !one.unit.is_imperial() => one.value / one.unit.per_metre(),
        _ => {
            let smallest: f64 = parts.iter().map(|part| part.value * part.unit.in_smallest()).sum();
            let imperial = parts.iter().any(|part| part.unit.is_imperial());
            if imperial { smallest * INCH_M } else { smallest / 1000.0 }
        }
    })
}

fn unknown_unit(word: &str) -> LengthError {
    let lower = word.to_lowercase();
    if ["nan", "inf", "infinity"].contains(&lower.as_str()) {
        return error(
            format!("`{word}` is not a length"),
            "read it off the tape: \"2.9 m\" or \"9 ft 6 in\"",
        );
    }
    error(
        format!("`{}` is not a unit of length here", quoted(word)),
        "units are m, cm, mm, ft and in (also ' and \")",
    )
}

fn error(message: impl Into<String>, help: impl Into<String>) -> LengthError {
    LengthError { message: message.into(), help: help.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected_m: f64) {
        assert_eq!(parse_length(text), Ok(expected_m), "{text}");
    }

    // 1 in = 25.4 mm and 1 ft = 304.8 mm exactly; the values are computed from that by hand.
    #[test]
    fn metric_spellings() {
        for text in [
            "2.9 m",
            "290 cm",
            "2900 mm",
            "2.90m",
            "2 m 90 cm",
            "2 m 900 mm",
            " 2.9  metres",
            "2.9 M.",
        ] {
            check(text, 2.9);
        }
        check("0 m", 0.0);
        check(".5 m", 0.5);
        check("1.2345678901234567 m", 1.234_567_890_123_456_7);
    }

    #[test]
    fn imperial_spellings() {
        for text in [
            "9.5 ft",
            "9 ft 6 in",
            "9'6\"",
            "9' 6\"",
            "114 in",
            "9′ 6″",
            "9’6”",
            "9 feet 6 inches",
            "9'-6\"",
            "9 ½ ft",
            "9½'",
            "9 1/2 ft",
            "9'6''",
            "9ft6in",
        ] {
            check(text, 2.8956);
        }
        for text in
            ["9 ft 6 1/2 in", "9' 6 1/2\"", "9'6½\"", "9' 6-1/2\"", "114 ½ in", "9' 6 1⁄2\""]
        {
            check(text, 114.5 * 0.0254);
        }
        check("5/8 in", 0.015_875);
        check("⅝\"", 0.015_875);
        check("¼ in", 0.006_35);
        check("6 ¾ in", 0.171_45);
    }

    #[test]
    fn signs_are_read_so_that_the_caller_can_name_them() {
        check("-2 m", -2.0);
        check("−2 m", -2.0);
    }

    #[test]
    fn each_slip_gets_its_own_words() {
        for (text, message) in [
            ("2,9 m", "comma"),
            ("1,200 mm", "comma"),
            ("9 ft 6", "`6` has no unit"),
            ("2.9", "no unit"),
            ("2.9 yd", "`yd` is not a unit"),
            ("m", "no number before it"),
            ("", "no number"),
            ("   ", "no number"),
            ("nan", "`nan` is not a length"),
            ("inf m", "`inf` is not a length"),
            ("2 9 m", "side by side"),
            ("9 ft 6 cm", "metric and imperial"),
            ("6 in 9 ft", "larger unit comes first"),
            ("9.5 ft 6 in", "not a whole number"),
            ("1/0 in", "divides by zero"),
            ("1/2 1/2 in", "has one already"),
            ("--2 m", "two minus signs"),
            ("2 m²", "cannot be read"),
            ("2.9.1 m", "side by side"),
        ] {
            let error = parse_length(text).err().map(|e| e.message);
            assert!(error.as_ref().is_some_and(|e| e.contains(message)), "{text:?}: {error:?}");
        }
        let huge = format!("{} m", "9".repeat(400));
        assert_eq!(
            parse_length(&huge).map_err(|e| e.message),
            Err("this number is too large".into())
        );
    }

    #[test]
    fn feet_and_bare_inches_suggest_the_whole_line() {
        assert_eq!(
            parse_length("9 ft 6").map_err(|e| e.help),
            Err("if it is inches, write \"9 ft 6 in\"".into())
        );
    }
}
