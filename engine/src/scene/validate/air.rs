//! The air in the room.

use super::context::RuleContext;
use crate::medium::air::Air;
use crate::scene::raw::Spanned;

pub(super) fn air(context: &RuleContext<'_>) -> Option<Air> {
    let raw = &context.raw.air;
    let usual = Air::default();
    let within = |what, value: &Option<_>, usual, limits, unit, help| match value {
        None => Some(usual),
        Some(value) => context.number_within(what, value, limits, unit, help),
    };
    let temperature_help = celsius(raw.temperature_c.as_ref());
    let temperature_c = within(
        "the air temperature",
        &raw.temperature_c,
        usual.temperature_c,
        -20.0..=50.0,
        " °C",
        &temperature_help,
    );
    let humidity_percent = within(
        "the air humidity",
        &raw.humidity_percent,
        usual.humidity_percent,
        0.1..=100.0,
        " %",
        "give relative humidity in per cent; indoors it is usually 30 to 60",
    );
    let pressure_kpa = within(
        "the air pressure",
        &raw.pressure_kpa,
        usual.pressure_kpa,
        50.0..=120.0,
        " kPa",
        "give it in kilopascals: 101.325 at sea level (1013 hPa are 101.3 kPa)",
    );
    let absorption = raw.absorption.as_ref().map_or(usual.absorption, |flag| flag.value);
    Some(Air {
        temperature_c: temperature_c?,
        humidity_percent: humidity_percent?,
        pressure_kpa: pressure_kpa?,
        absorption,
    })
}

/// Temperatures of a warm room in degrees Fahrenheit.
const FAHRENHEIT: std::ops::RangeInclusive<f64> = 50.0..=122.0;

fn celsius(written: Option<&Spanned<f64>>) -> String {
    match written.map(|written| written.value).filter(|degrees| FAHRENHEIT.contains(degrees)) {
        Some(degrees) => {
            format!("give it in degrees Celsius: {degrees} °F are {:.1} °C", (degrees - 32.0) / 1.8)
        }
        None => "give it in degrees Celsius; a mixing room is usually at 18 to 26".to_owned(),
    }
}
