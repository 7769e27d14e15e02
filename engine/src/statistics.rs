//! Statistical room acoustics: Sabine, Eyring, mean free path, Schroeder frequency.
//!
//! These figures assume sound that travels evenly in every direction, which a small treated
//! room hardly has; take them as a rough guide beside the traced reflections.

use crate::bands::{BAND_COUNT, PerBand};
use crate::scene::Room;

/// An area that absorbs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Absorber {
    /// Area in square metres.
    pub area_m2: f64,
    /// Random-incidence absorption coefficient per band, 0 to 1.
    pub absorption: PerBand<f64>,
}

/// Statistical figures of a room.
#[derive(Debug, Clone, PartialEq)]
pub struct Statistics {
    /// Reverberation time after Sabine (1900) with air, seconds; `None` where nothing absorbs.
    pub sabine_s: PerBand<Option<f64>>,
    /// Reverberation time after Norris and Eyring (1930) with air, seconds; `None` where
    /// nothing absorbs.
    pub eyring_s: PerBand<Option<f64>>,
    /// Mean free path 4V/S of the empty room, metres.
    pub mean_free_path_m: f64,
    /// Schroeder frequency 2000·√(T/V) (Schroeder 1996), hertz, with T the mean of the Eyring
    /// times at 125 and 250 Hz, the bands it falls in for rooms of this kind; `None` where one of
    /// the two is missing.
    pub schroeder_hz: Option<f64>,
}

/// Statistical figures of a room lined with `absorbers`.
///
/// T = K·V/(A + 4mV) with K = 24·ln 10/c; A is Σ Sᵢ·αᵢ (Sabine) or −S·ln(1 − ᾱ) (Eyring), and
/// m the energy attenuation of the air, 1/m. Forms read second-hand.
pub fn statistics(
    room: &Room,
    speed_of_sound_m_s: f64,
    attenuation_db_per_m: &PerBand<f64>,
    absorbers: &[Absorber],
) -> Statistics {
    let volume = room.volume_m3();
    let area: f64 = absorbers.iter().map(|a| a.area_m2).sum();
    let k = 24.0 * std::f64::consts::LN_10 / speed_of_sound_m_s;
    let mut sabine_s = [None; BAND_COUNT];
    let mut eyring_s = [None; BAND_COUNT];
    for band in 0..BAND_COUNT {
        let absorbed: f64 = absorbers.iter().map(|a| a.area_m2 * a.absorption[band]).sum();
        let mean = if area > 0.0 { (absorbed / area).clamp(0.0, 1.0) } else { 0.0 };
        let air = 4.0 * volume * attenuation_db_per_m[band] / DB_PER_NEPER_OF_ENERGY;
        sabine_s[band] = finite(k * volume / (absorbed + air));
        eyring_s[band] = finite(k * volume / (-area * (1.0 - mean).ln() + air));
    }
    let schroeder_hz = match (eyring_s[1], eyring_s[2]) {
        (Some(at_125), Some(at_250)) => {
            Some(schroeder_frequency_hz(f64::midpoint(at_125, at_250), volume))
        }
        _ => None,
    };
    Statistics { sabine_s, eyring_s, mean_free_path_m: mean_free_path_m(room), schroeder_hz }
}

/// Mean free path 4V/S in metres, exact for a diffuse field.
pub fn mean_free_path_m(room: &Room) -> f64 {
    4.0 * room.volume_m3() / room.surface_m2()
}

/// Schroeder frequency 2000·√(T/V) in hertz, T in seconds and V in cubic metres: three modes
/// within a mode's own width (Schroeder 1996).
pub fn schroeder_frequency_hz(reverberation_s: f64, volume_m3: f64) -> f64 {
    2000.0 * (reverberation_s / volume_m3).sqrt()
}

/// 10·lg e: decibels of attenuation for one unit of the energy exponent.
const DB_PER_NEPER_OF_ENERGY: f64 = 10.0 * std::f64::consts::LOG10_E;

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a missing figure fails the test")]
    use super::*;
    use crate::scene::Surface;

    const ROOM: Room = Room { length_m: 6.0, width_m: 4.0, height_m: 2.5 };
    const STILL: PerBand<f64> = [0.0; BAND_COUNT];

    fn lined(alpha: impl Fn(Surface) -> f64) -> Vec<Absorber> {
        Surface::ALL
            .iter()
            .map(|&s| Absorber { area_m2: ROOM.area_m2(s), absorption: [alpha(s); BAND_COUNT] })
            .collect()
    }

    /// Sabine and Eyring for 6 × 4 × 2.5 m without air at c = 343.2 m/s, to 1 ms: computed from
    /// the named formulas, which were read second-hand.
    #[test]
    fn table_of_lined_rooms() {
        let but =
            |odd: Surface, its: f64, rest: f64| lined(move |s| if s == odd { its } else { rest });
        for (lining, sabine, eyring) in [
            (lined(|_| 0.1), 0.9858, 0.9357),
            (lined(|_| 0.2), 0.4929, 0.4418),
            (but(Surface::Ceiling, 0.6, 0.1), 0.4432, 0.3918),
            (but(Surface::Floor, 0.3, 0.05), 0.8863, 0.8361),
        ] {
            let found = statistics(&ROOM, 343.2, &STILL, &lining);
            assert!((found.sabine_s[4].unwrap() - sabine).abs() < 1e-3);
            assert!((found.eyring_s[4].unwrap() - eyring).abs() < 1e-3);
        }
    }

    /// Air at 8 kHz, 20 °C and 50 %: 103.9 dB/km by ISO 9613-1 takes Sabine from 0.9858 to
    /// 0.6216 s (computed from the named formulas).
    #[test]
    fn air_shortens_the_top_band() {
        let mut air = STILL;
        air[7] = 0.1039;
        let found = statistics(&ROOM, 343.2, &air, &lined(|_| 0.1));
        assert!((found.sabine_s[7].unwrap() - 0.6216).abs() < 1e-3);
        assert!((found.sabine_s[6].unwrap() - 0.9858).abs() < 1e-3);
    }

    /// Everest, Master Handbook, 4th ed. p. 163 (read): 23.3 × 16 × 10 ft, concrete floor of
    /// 373 ft² and 1159 ft² of gypsum board; 0.54 s at 125 Hz and 3.39 s at 1 kHz.
    #[test]
    fn handbook_room() {
        let foot = 0.3048;
        let room = Room { length_m: 23.3 * foot, width_m: 16.0 * foot, height_m: 10.0 * foot };
        let square_foot = foot * foot;
        let concrete = [0.01, 0.01, 0.01, 0.015, 0.02, 0.02, 0.02, 0.02];
        let gypsum = [0.29, 0.29, 0.10, 0.05, 0.04, 0.07, 0.09, 0.09];
        let lining = [
            Absorber { area_m2: 373.0 * square_foot, absorption: concrete },
            Absorber { area_m2: 1159.0 * square_foot, absorption: gypsum },
        ];
        let found = statistics(&room, 343.2, &STILL, &lining);
        assert!((found.sabine_s[1].unwrap() - 0.54).abs() < 0.01);
        assert!((found.sabine_s[4].unwrap() - 3.39).abs() < 0.04);
    }

    /// Mean free path: 25 × 20 × 10 ft gives 10.5 ft (Everest p. 143, read); 6 × 4 × 2.5 m gives
    /// 2.4490 m (computed).
    #[test]
    fn mean_free_paths() {
        let foot = 0.3048;
        let hall = Room { length_m: 25.0 * foot, width_m: 20.0 * foot, height_m: 10.0 * foot };
        assert!((mean_free_path_m(&hall) / foot - 10.5).abs() < 0.1);
        assert!((mean_free_path_m(&ROOM) - 2.4490).abs() < 1e-4);
    }

    /// Schroeder (1996), 2000·√(T/V), values computed from the formula.
    #[test]
    fn schroeder_frequencies() {
        for (t, v, hz) in [
            (0.3, 60.0, 141.42),
            (0.4, 60.0, 163.30),
            (0.4, 30.0, 230.94),
            (0.5, 100.0, 141.42),
            (2.0, 10_000.0, 28.28),
        ] {
            assert!((schroeder_frequency_hz(t, v) - hz).abs() < 0.01);
        }
    }

    /// Nothing absorbs: no time can be given. Everything absorbs: Eyring's time is nought, as
    /// the formula's limit says, and Sabine's famously is not.
    #[test]
    fn the_two_ends() {
        let hard = statistics(&ROOM, 343.2, &STILL, &lined(|_| 0.0));
        assert_eq!(hard.sabine_s[3], None);
        assert_eq!(hard.eyring_s[3], None);
        assert_eq!(hard.schroeder_hz, None);
        let open = statistics(&ROOM, 343.2, &STILL, &lined(|_| 1.0));
        assert!(open.eyring_s[3].unwrap() < 1e-12);
        assert!((open.sabine_s[3].unwrap() - 0.09858).abs() < 1e-4);
    }
}
