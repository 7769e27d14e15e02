//! Frequencies as people read them: hertz, and kilohertz from a thousand up.

use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};

/// Short names of the octave bands, for heads of columns that are in hertz.
pub(crate) const BAND_NAMES: PerBand<&'static str> =
    ["63", "125", "250", "500", "1k", "2k", "4k", "8k"];

const KILOHERTZ: f64 = 1000.0;

/// A frequency to a whole hertz, or to ten hertz from a thousand up: `59 Hz`, `1.40 kHz`.
pub(crate) fn frequency(hz: f64) -> String {
    if hz < KILOHERTZ { format!("{hz:.0} Hz") } else { format!("{:.2} kHz", hz / KILOHERTZ) }
}

/// A frequency that is known roughly, to ten or a hundred hertz: `690 Hz`, `1.4 kHz`.
pub(crate) fn approximate(hz: f64) -> String {
    if hz < KILOHERTZ {
        format!("{:.0} Hz", (hz / 10.0).round() * 10.0)
    } else {
        format!("{:.1} kHz", hz / KILOHERTZ)
    }
}

/// The nominal frequency of an octave band: `63 Hz`, `4 kHz`.
pub(crate) fn nominal(hz: f64) -> String {
    if hz < KILOHERTZ { format!("{hz} Hz") } else { format!("{} kHz", hz / KILOHERTZ) }
}

/// An octave band by its index: `63 Hz`, `4 kHz`; empty for one that does not exist.
pub(crate) fn band(index: usize) -> String {
    NOMINAL_HZ.get(index).map_or_else(String::new, |hz| nominal(*hz))
}

/// A range in whole hertz: `30 to 200 Hz`.
pub(crate) fn range(low_hz: f64, high_hz: f64) -> String {
    format!("{low_hz:.0} to {high_hz:.0} Hz")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kilohertz_from_a_thousand_up() {
        assert_eq!([59.4, 698.0, 1396.0].map(frequency), ["59 Hz", "698 Hz", "1.40 kHz"]);
        assert_eq!([59.4, 698.0, 1396.0].map(approximate), ["60 Hz", "700 Hz", "1.4 kHz"]);
        assert_eq!([63.0, 31.5, 4000.0].map(nominal), ["63 Hz", "31.5 Hz", "4 kHz"]);
        assert_eq!(range(30.0, 200.0), "30 to 200 Hz");
    }

    #[test]
    fn names_and_indices_of_bands_agree() {
        for (index, name) in BAND_NAMES.iter().enumerate() {
            assert_eq!(band(index).replace(" kHz", "k").replace(" Hz", ""), *name);
        }
        assert_eq!(band(8), "");
    }
}
