//! Tolerance of the reverberation time about its nominal value, over frequency.

/// A corner of a tolerance mask.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MaskPoint {
    /// Frequency in hertz.
    pub hz: f64,
    /// Lowest allowed time relative to the nominal, seconds; below zero.
    pub lower_s: f64,
    /// Highest allowed time relative to the nominal, seconds; above zero.
    pub upper_s: f64,
}

/// A tolerance mask: corners in rising frequency, joined by straight lines over log frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToleranceMask {
    corners: [MaskPoint; 4],
}

impl ToleranceMask {
    /// ITU-R BS.1116-3, figure 1 (from memory): ±0.05 s from 200 Hz to 4 kHz; at the low end the
    /// upper limit widens to +0.30 s at 63 Hz and the lower stays (the frequency from which it is
    /// drawn was not verified); at the high end both widen to ±0.10 s at 8 kHz.
    pub const BS_1116: Self = Self {
        corners: [
            MaskPoint { hz: 63.0, lower_s: -0.05, upper_s: 0.30 },
            MaskPoint { hz: 200.0, lower_s: -0.05, upper_s: 0.05 },
            MaskPoint { hz: 4000.0, lower_s: -0.05, upper_s: 0.05 },
            MaskPoint { hz: 8000.0, lower_s: -0.10, upper_s: 0.10 },
        ],
    };

    /// Its corners in rising frequency, to draw it over log frequency.
    pub fn corners(&self) -> &[MaskPoint] {
        &self.corners
    }

    /// The mask at a frequency in hertz; `None` outside its first and last corner.
    pub fn at(&self, hz: f64) -> Option<MaskPoint> {
        let mut pairs = self.corners.windows(2);
        pairs.find_map(|pair| match pair {
            [from, to] if (from.hz..=to.hz).contains(&hz) => Some(between(*from, *to, hz)),
            _ => None,
        })
    }
}

fn between(from: MaskPoint, to: MaskPoint, hz: f64) -> MaskPoint {
    let part = (hz / from.hz).ln() / (to.hz / from.hz).ln();
    let mix = |a: f64, b: f64| a + (b - a) * part;
    MaskPoint { hz, lower_s: mix(from.lower_s, to.lower_s), upper_s: mix(from.upper_s, to.upper_s) }
}
