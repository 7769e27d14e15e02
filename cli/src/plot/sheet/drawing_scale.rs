//! The scale of a drawing: one that people have rulers for.

use crate::plot::sheet::frame;
use earline_engine::scene::Units;
use glam::DVec2;

/// Metric rulers: one to this many.
const METRIC: [f64; 12] =
    [10.0, 20.0, 25.0, 100.0 / 3.0, 40.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0];
/// Architects' rulers in feet and inches: one to this many, and inches to the foot.
const IMPERIAL: [(f64, &str); 9] = [
    (12.0, "1 in"),
    (16.0, "¾ in"),
    (24.0, "½ in"),
    (32.0, "⅜ in"),
    (48.0, "¼ in"),
    (64.0, "3/16 in"),
    (96.0, "⅛ in"),
    (128.0, "3/32 in"),
    (192.0, "1/16 in"),
];

/// A scale.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DrawingScale {
    /// Units of the sheet for a metre in the room: millimetres on A4.
    pub(crate) mm_per_m: f64,
    /// Its name on a drawing: `1:50`, `¼ in = 1 ft (1:48)`.
    pub(crate) name: String,
}

/// The largest scale on the paper of these units at which something of this size in metres fits in this space
/// of a sheet.
pub(crate) fn fitting(size_m: DVec2, space: DVec2, units: Units) -> DrawingScale {
    let mm_per_unit = frame::paper(units).mm_per_unit(frame::SHEET);
    let needed = (size_m * 1000.0 / (space * mm_per_unit).max(DVec2::ONE)).max_element();
    let (denominator, name) = match units {
        Units::Metric => METRIC
            .into_iter()
            .find(|&d| d >= needed)
            .map(|d| (d, if d.fract() > 0.0 { "1:33⅓".to_owned() } else { format!("1:{d}") })),
        Units::Imperial => IMPERIAL
            .into_iter()
            .find(|&(d, _)| d >= needed)
            .map(|(d, inches)| (d, format!("{inches} = 1 ft (1:{d})"))),
    }
    .unwrap_or_else(|| {
        // A hall rather than a room: the next full hundred.
        let d = (needed / 100.0).ceil() * 100.0;
        (d, format!("1:{d}"))
    });
    DrawingScale { mm_per_m: 1000.0 / denominator / mm_per_unit, name }
}

/// Length in metres of one step of a scale bar about this long on paper, how many steps, and the
/// name of the unit it is marked in with its length in metres.
pub(crate) fn bar(
    scale: &DrawingScale,
    about_mm: f64,
    units: Units,
) -> (f64, usize, &'static str, f64) {
    let (unit, unit_m) = match units {
        Units::Metric => ("m", 1.0),
        Units::Imperial => ("ft", 0.3048),
    };
    let wanted = about_mm / scale.mm_per_m / unit_m;
    // Nobody reads half a foot off a bar.
    let least = if units == Units::Imperial { 1.0 } else { 0.0 };
    let (step, count) = [0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]
        .into_iter()
        .map(|step| (step, (wanted / step).floor()))
        .find(|&(step, count)| count <= 5.0 && least <= step)
        .unwrap_or((200.0, 1.0));
    // One to five steps by the search above.
    let count = (1..=5).rev().find(|&n| f64::from(n) <= count).unwrap_or(1);
    (step * unit_m, usize::try_from(count).unwrap_or(1), unit, unit_m)
}

#[cfg(test)]
mod tests {
    use super::fitting;
    use earline_engine::scene::Units;
    use glam::DVec2;

    #[test]
    fn a_room_gets_the_largest_ruler_that_fits() {
        let space = DVec2::new(150.0, 120.0);
        let name = |x, y, units| fitting(DVec2::new(x, y), space, units).name;
        assert_eq!(name(5.8, 4.1, Units::Metric), "1:40");
        assert_eq!(name(5.0, 4.0, Units::Metric), "1:33⅓");
        assert_eq!(name(7.5, 6.0, Units::Metric), "1:50");
        assert_eq!(name(6.0, 4.0, Units::Imperial), "¼ in = 1 ft (1:48)");
        assert_eq!(name(90.0, 20.0, Units::Metric), "1:600");
    }
}
