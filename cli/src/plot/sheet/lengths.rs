//! Lengths as they are written on a sheet.

use crate::format;
use earline_engine::scene::Units;

/// A length as a person reads it off a tape, set for print.
pub(crate) fn written(metres: f64, units: Units) -> String {
    with_fractions(&format::length::length(metres, units))
}

/// A length as `tape` writes it, with real fractions: `4 ft 4¾ in`.
pub(crate) fn with_fractions(length: &str) -> String {
    const FRACTIONS: [(&str, &str); 7] = [
        ("1/8", "⅛"),
        ("1/4", "¼"),
        ("3/8", "⅜"),
        ("1/2", "½"),
        ("5/8", "⅝"),
        ("3/4", "¾"),
        ("7/8", "⅞"),
    ];
    FRACTIONS.iter().fold(length.to_owned(), |text, (plain, real)| {
        let apart = text.replace(&format!("ft {plain}"), &format!("ft {real}"));
        apart.replace(&format!(" {plain}"), real).replace(plain, real)
    })
}
