//! Heights of seated and standing ears, from published body measurements.
//!
//! ANSUR II, the measurements of 4082 men and 1986 women of the US Army in 2012 (open data; read,
//! statistics computed from the data files): the ear is the tragion, people stand and sit erect
//! and barefoot. Soldiers are not the general public: a starting point for a tape, not a norm.

/// Mean and spread of one body measurement, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyMeasure {
    /// The group measured.
    pub of: &'static str,
    /// Mean height of the ears above the floor, seated (ear above seat and height of the seat).
    pub seated_m: f64,
    /// Its standard deviation.
    pub seated_spread_m: f64,
    /// Mean height of the ears above the floor, standing.
    pub standing_m: f64,
    /// Its standard deviation.
    pub standing_spread_m: f64,
}

/// Ears above the floor: men and women of ANSUR II (read, computed from the data files).
pub const EAR_ABOVE_FLOOR: [BodyMeasure; 2] = [
    BodyMeasure {
        of: "men",
        seated_m: 1.217,
        seated_spread_m: 0.051,
        standing_m: 1.625,
        standing_spread_m: 0.068,
    },
    BodyMeasure {
        of: "women",
        seated_m: 1.118,
        seated_spread_m: 0.046,
        standing_m: 1.502,
        standing_spread_m: 0.063,
    },
];

/// Height that shoes add to barefoot measurements, metres: the middle of 20 to 30 mm (common practice).
pub const SHOES_M: f64 = 0.025;

/// From the ears to the top of the head, metres: stature less standing ear height, 1756 − 1625 mm for
/// the mean man of ANSUR II, 4 mm less for the mean woman (read, computed).
pub const HEAD_ABOVE_EARS_M: f64 = 0.131;

/// Height of seated ears where nobody measured them, metres, to the centimetre: half-way between the
/// means of men and women. Shoes add what a slump and a soft seat take (common practice).
pub fn seated_ears_m() -> f64 {
    to_centimetre(mean(|measure| measure.seated_m))
}

/// Height of standing ears where nobody measured them, metres, to the centimetre: half-way between
/// the means of men and women, in shoes.
pub fn standing_ears_m() -> f64 {
    to_centimetre(mean(|measure| measure.standing_m) + SHOES_M)
}

fn mean(of: impl Fn(&BodyMeasure) -> f64) -> f64 {
    let [men, women] = &EAR_ABOVE_FLOOR;
    f64::midpoint(of(men), of(women))
}

fn to_centimetre(metres: f64) -> f64 {
    (metres * 100.0).round() / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ANSUR II means (read, computed from the data files), each to its printed millimetre:
    /// (1217 + 1118)/2 = 1167.5 mm and (1625 + 1502)/2 + 25 = 1588.5 mm.
    #[test]
    fn ears_come_from_the_published_means() {
        assert!((seated_ears_m() - 1.17).abs() < 1e-12, "{}", seated_ears_m());
        assert!((standing_ears_m() - 1.59).abs() < 1e-12, "{}", standing_ears_m());
        // The seat itself and the ear above it, men: 430 + 787 mm; women: 388 + 730 mm.
        assert!((EAR_ABOVE_FLOOR[0].seated_m - 1.217).abs() < 1e-12);
        assert!((EAR_ABOVE_FLOOR[1].seated_m - 1.118).abs() < 1e-12);
    }
}
