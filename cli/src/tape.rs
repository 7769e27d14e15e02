//! Lengths as a person reads them off a tape.

use earline_engine::scene::Units;

/// A length in metres, written in the scene's units: `1.34 m` or `4 ft 4 3/4 in`.
pub(crate) fn length(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{metres:.2} m"),
        Units::Imperial => feet(metres),
    }
}

fn feet(metres: f64) -> String {
    let eighths = (metres / 0.0254 * 8.0).round();
    let (feet, rest) = ((eighths / 96.0).floor(), eighths.rem_euclid(96.0));
    let (inches, eighth) = ((rest / 8.0).floor(), rest.rem_euclid(8.0));
    let fraction = ["", " 1/8", " 1/4", " 3/8", " 1/2", " 5/8", " 3/4", " 7/8"]
        .into_iter()
        .zip(0_u8..)
        .find(|&(_, n)| f64::from(n) >= eighth)
        .map_or("", |(text, _)| text);
    if feet > 0.0 {
        format!("{feet} ft {inches}{fraction} in")
    } else {
        format!("{inches}{fraction} in")
    }
}
