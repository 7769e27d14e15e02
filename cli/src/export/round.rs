//! Quantities of machine output, rounded as they are written: finer than any answer can mean, coarse
//! enough that the bytes do not hang on the last bit of the arithmetic.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;

/// A number of which so many decimals are written at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rounded<const DECIMALS: i32>(f64);

/// A level or a difference of levels, of which so many decimals are written; `null` in JSON and
/// empty in CSV where no sound arrives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Decibels<const DECIMALS: i32 = 3>(f64);

/// Metres to a hundredth of a millimetre.
pub(crate) type Metres = Rounded<5>;
/// Milliseconds to a tenth of a microsecond.
pub(crate) type Milliseconds = Rounded<4>;
/// Seconds to a tenth of a millisecond.
pub(crate) type Seconds = Rounded<4>;
/// Degrees to a hundredth.
pub(crate) type Degrees = Rounded<2>;
/// Hertz to a tenth.
pub(crate) type Hertz = Rounded<1>;
/// Ratios, coefficients and areas to a ten-thousandth.
pub(crate) type Ratio = Rounded<4>;

pub(crate) fn metres(value: f64) -> Metres {
    Rounded(value)
}

/// Milliseconds from seconds.
pub(crate) fn milliseconds(seconds: f64) -> Milliseconds {
    Rounded(seconds * 1000.0)
}

pub(crate) fn seconds(value: f64) -> Seconds {
    Rounded(value)
}

pub(crate) fn degrees(value: f64) -> Degrees {
    Rounded(value)
}

pub(crate) fn hertz(value: f64) -> Hertz {
    Rounded(value)
}

pub(crate) fn ratio(value: f64) -> Ratio {
    Rounded(value)
}

pub(crate) fn decibels<const DECIMALS: i32>(value: f64) -> Decibels<DECIMALS> {
    Decibels(value)
}

/// Rounded to so many decimals; nought has no sign.
pub(crate) fn to(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    (value * scale).round() / scale + 0.0
}

impl<const DECIMALS: i32> Rounded<DECIMALS> {
    /// The number that is written.
    fn written(self) -> f64 {
        to(self.0, DECIMALS)
    }
}

impl<const DECIMALS: i32> Decibels<DECIMALS> {
    /// Whether no sound arrives at all.
    pub(crate) fn is_silent(self) -> bool {
        !self.0.is_finite()
    }

    /// The number that is written; `None` for silence.
    fn written(self) -> Option<f64> {
        (!self.is_silent()).then(|| to(self.0, DECIMALS))
    }
}

impl<const DECIMALS: i32> From<f64> for Rounded<DECIMALS> {
    fn from(value: f64) -> Self {
        Self(value)
    }
}

impl<const DECIMALS: i32> Serialize for Rounded<DECIMALS> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.written().serialize(serializer)
    }
}

impl<const DECIMALS: i32> Serialize for Decibels<DECIMALS> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.written().serialize(serializer)
    }
}

impl<const DECIMALS: i32> fmt::Display for Rounded<DECIMALS> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.written().fmt(f)
    }
}

impl<const DECIMALS: i32> fmt::Display for Decibels<DECIMALS> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.written().map_or(Ok(()), |db| db.fmt(f))
    }
}

impl<const DECIMALS: i32> JsonSchema for Rounded<DECIMALS> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("Rounded{DECIMALS}").into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "number" })
    }
}

impl<const DECIMALS: i32> JsonSchema for Decibels<DECIMALS> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("Decibels{DECIMALS}").into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["number", "null"] })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_to_the_nearest_and_drops_the_sign_of_nought() {
        assert_eq!(metres(3.581_234_9).to_string(), "3.58123");
        assert_eq!(milliseconds(0.005_764_12).to_string(), "5.7641");
        assert_eq!(degrees(-0.001).to_string(), "0");
        assert_eq!(decibels::<3>(-7.199_96).to_string(), "-7.2");
        assert_eq!(decibels::<3>(f64::NEG_INFINITY).to_string(), "");
        assert_eq!(decibels::<3>(f64::NAN).written(), None);
    }
}
