//! Lengths on the command line, and how answers write theirs.

use clap::ValueEnum;
use earline_engine::scene::{Units, length_units, parse_length};

/// A length as it was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Measured {
    /// In metres.
    pub(crate) metres: f64,
    /// The system it was written in, where it has a unit.
    pub(crate) units: Option<Units>,
}

/// Reads a length with its unit; a bare number is metres, as in a scene.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub(crate) fn measured(text: &str) -> Result<Measured, String> {
    let bare = text.trim().parse().ok().filter(|metres: &f64| metres.is_finite());
    let metres = match bare {
        Some(metres) => metres,
        None => parse_length(text).map_err(|error| format!("{}; {}", error.message, error.help))?,
    };
    Ok(Measured { metres, units: length_units(text) })
}

/// How lengths are written for people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum AskedUnits {
    /// Metres and millimetres.
    Metric,
    /// Feet, inches and eighths.
    Imperial,
}

impl From<AskedUnits> for Units {
    fn from(asked: AskedUnits) -> Self {
        match asked {
            AskedUnits::Metric => Self::Metric,
            AskedUnits::Imperial => Self::Imperial,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bare_numbers_are_metres_and_units_are_known() {
        // To a hundredth of a millimetre.
        let rounded = |metres: f64| (metres * 1e5).round() / 1e5;
        let of = |text| measured(text).map(|length| (rounded(length.metres), length.units));
        assert_eq!(of("5.8"), Ok((5.8, None)));
        assert_eq!(of("5.8 m"), Ok((5.8, Some(Units::Metric))));
        assert_eq!(of("26 ft"), Ok((7.9248, Some(Units::Imperial))));
        assert_eq!(of("9'6\""), Ok((2.8956, Some(Units::Imperial))));
        for wrong in ["", "x", "nan", "inf", "5,8 m", "5.8 yd"] {
            assert!(measured(wrong).is_err(), "{wrong}");
        }
    }
}
