//! The air in the room.

use super::setting::Setting;
use crate::air::Air;

pub(super) fn air(setting: &Setting<'_>) -> Option<Air> {
    let raw = &setting.raw.air;
    let usual = Air::default();
    let within = |what, value: &Option<_>, usual, limits, unit, help| match value {
        None => Some(usual),
        Some(value) => setting.number_within(what, value, limits, unit, help),
    };
    let temperature_c = within(
        "the air temperature",
        &raw.temperature_c,
        usual.temperature_c,
        -20.0..=50.0,
        " °C",
        "give it in degrees Celsius; a mixing room is usually at 18 to 26",
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
