//! Figures in running text.

use std::collections::BTreeSet;

/// Units that make a number a figure somebody may rely on. Inches are read with their feet.
const UNITS: [&str; 14] =
    ["m", "cm", "mm", "m³", "m/s", "ms", "s", "ft", "Hz", "kHz", "dB", "%", "°", "m²"];

/// All numbers of a text, written alike: `1.50` and `1.5` are one.
pub(super) fn numbers(text: &str) -> BTreeSet<String> {
    found_in(text).into_iter().map(|(number, _)| number).collect()
}

/// Numbers with a unit behind them.
pub(super) fn figures_with_units(text: &str) -> BTreeSet<String> {
    let with_unit = |(number, rest): (String, &str)| {
        let rest = rest.strip_prefix([' ', '\n', '\u{a0}']).unwrap_or(rest);
        let belongs = |c: &char| c.is_alphabetic() || "³²/%°".contains(*c);
        let unit: String = rest.chars().take_while(belongs).collect();
        UNITS.contains(&unit.as_str()).then(|| format!("{number} {unit}"))
    };
    found_in(text).into_iter().filter_map(with_unit).collect()
}

/// Numbers, each with the text behind it. What ends a word (`x1`) is none.
fn found_in(text: &str) -> Vec<(String, &str)> {
    let mut found = Vec::new();
    let mut rest = text;
    let mut before = ' ';
    while let Some(first) = rest.chars().next() {
        let digits = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        let run = rest[..digits].trim_end_matches('.');
        let starts = first.is_ascii_digit() && !before.is_alphabetic();
        if let Some(value) = run.parse::<f64>().ok().filter(|_| starts) {
            found.push((value.to_string(), &rest[run.len()..]));
        }
        let step = if first.is_ascii_digit() { digits } else { first.len_utf8() };
        before = rest[..step].chars().last().unwrap_or(' ');
        rest = &rest[step..];
    }
    found
}

#[test]
fn figures_are_numbers_with_units() {
    let text = "In 2.50 m (8 ft 2 in), at\n343.2 m/s and 38 %, no. 7 is 1 in 4; x3 = 60°.";
    let expected = ["2.5 m", "8 ft", "343.2 m/s", "38 %", "60 °"];
    assert_eq!(figures_with_units(text), expected.map(str::to_owned).into());
    assert!(numbers(text).contains("7") && !numbers(text).contains("3"));
}
