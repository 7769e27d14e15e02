//! Path-length mismatch of a pair at a seat, and its effect on the phantom centre image.

use glam::DVec3;

/// Mismatch of the two speakers of a pair at a seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mismatch {
    /// Path length of the left speaker less that of the right one, metres.
    pub left_farther_m: f64,
    /// Delay of the left speaker relative to the right one, seconds.
    pub left_later_s: f64,
    /// Attenuation of the left speaker relative to the right one by spherical spreading, decibels.
    pub left_weaker_db: f64,
    /// Effect on the phantom centre image.
    pub image: CentreImage,
}

/// Position of the phantom centre image when one speaker arrives earlier.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CentreImage {
    /// Below about 10 µs, the threshold of interaural delay (tutorial pages, read): nothing to hear.
    Steady,
    /// Up to 100 µs, the most that ITU-R BS.1116 allows between channels (from memory, not sure):
    /// it leans a little toward the nearer speaker.
    Leans,
    /// Up to 1 ms, where summing localisation ends (Wallach 1949, Blauert; read second-hand): it
    /// stands clearly off the middle.
    Pulled,
    /// Beyond: the earlier speaker takes it (localisation dominance, Litovsky 1999; read
    /// second-hand).
    Captured,
}

impl CentreImage {
    /// For a delay between the two speakers, seconds, of either sign.
    pub fn at_delay(delay_s: f64) -> Self {
        match delay_s.abs() {
            delay if delay <= 10e-6 => Self::Steady,
            delay if delay <= 100e-6 => Self::Leans,
            delay if delay <= 1e-3 => Self::Pulled,
            _ => Self::Captured,
        }
    }
}

impl Mismatch {
    /// Of a left and a right reference point at the middle of a head; metres a second.
    pub(super) fn at(head: DVec3, [left, right]: [DVec3; 2], speed_of_sound_m_s: f64) -> Self {
        let [to_left, to_right] = [head.distance(left), head.distance(right)];
        let left_farther_m = to_left - to_right;
        let left_later_s = left_farther_m / speed_of_sound_m_s;
        Self {
            left_farther_m,
            left_later_s,
            left_weaker_db: 20.0 * (to_left / to_right).log10(),
            image: CentreImage::at_delay(left_later_s),
        }
    }

    /// Frequency of the first comb-filter dip of a signal common to both speakers, hertz: half a period
    /// of delay, 1/(2τ) (Everest, read); `None` where that is beyond hearing, above 20 kHz.
    pub fn first_dip_hz(&self) -> Option<f64> {
        let dip_hz = 0.5 / self.left_later_s.abs();
        (dip_hz <= 20_000.0).then_some(dip_hz)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const C: f64 = 343.2;

    /// 34.32 mm are 100 µs at 343.2 m/s, by division; the first dip of 100 µs is at 5 kHz.
    #[test]
    fn millimetres_become_microseconds() {
        let head = DVec3::new(2.0, 0.0, 1.2);
        let places = [DVec3::new(0.0, 0.0, 1.2), DVec3::new(4.0 - 0.034_32, 0.0, 1.2)];
        let found = Mismatch::at(head, places, C);
        assert!((found.left_farther_m - 0.034_32).abs() < 1e-12);
        assert!((found.left_later_s - 100e-6).abs() < 1e-12);
        assert!((found.left_weaker_db - 20.0 * (2.0_f64 / 1.965_68).log10()).abs() < 1e-12);
        assert!(found.first_dip_hz().is_some_and(|hz| (hz - 5000.0).abs() < 1e-6));
    }

    #[test]
    fn the_image_goes_step_by_step() {
        for (delay_s, image) in [
            (0.0, CentreImage::Steady),
            (-9e-6, CentreImage::Steady),
            (50e-6, CentreImage::Leans),
            (-300e-6, CentreImage::Pulled),
            (1.2e-3, CentreImage::Captured),
        ] {
            assert_eq!(CentreImage::at_delay(delay_s), image);
        }
        let alike = Mismatch::at(DVec3::X, [DVec3::ZERO, DVec3::X * 2.0], C);
        assert_eq!(alike.first_dip_hz(), None);
    }
}
