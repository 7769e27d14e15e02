//! Interference of the direct sound with one delayed copy: the comb filter.
//!
//! A copy at delay τ and relative amplitude g gives |H|² = 1 + g² + 2g·cos 2πfτ (Everest, *Master
//! Handbook of Acoustics*, read).

/// Ripple of the comb filter of one copy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CombRipple {
    /// Level at the peaks re the direct sound alone, decibels.
    pub peak_db: f64,
    /// Level at the dips re the direct sound alone, decibels; −∞ for an equal copy.
    pub dip_db: f64,
}

impl CombRipple {
    /// Ripple of the direct sound plus one copy at a level in decibels relative to it.
    pub fn from_level_db(level_db: f64) -> Self {
        let amplitude = 10f64.powf(0.05 * level_db);
        Self {
            peak_db: 20.0 * (1.0 + amplitude).log10(),
            dip_db: 20.0 * (1.0 - amplitude).abs().log10(),
        }
    }

    /// Difference of peak and dip, decibels.
    pub fn peak_to_peak_db(&self) -> f64 {
        self.peak_db - self.dip_db
    }
}

/// Energy of the direct sound plus one copy, relative to the direct sound alone: frequency in
/// hertz, delay in seconds, amplitude of the copy relative to the direct sound (negative for a copy
/// of opposite polarity).
pub fn comb_energy(hz: f64, delay_s: f64, amplitude: f64) -> f64 {
    let phase = std::f64::consts::TAU * hz * delay_s;
    1.0 + amplitude * amplitude + 2.0 * amplitude * phase.cos()
}

/// Frequencies of the dips of the comb in hertz, rising without end: odd multiples of c/(2Δ), for a
/// copy whose path is longer by Δ metres. At the first the reflection from a rigid boundary cancels
/// the direct sound.
pub fn nulls_hz(path_difference_m: f64, speed_of_sound_m_s: f64) -> impl Iterator<Item = f64> {
    let spacing = speed_of_sound_m_s / path_difference_m;
    (0u32..).map(move |n| (f64::from(n) + 0.5) * spacing)
}

/// Frequencies of the peaks of the comb above 0 Hz in hertz, rising without end: multiples of c/Δ, for a copy
/// whose path is longer by Δ metres.
pub fn peaks_hz(path_difference_m: f64, speed_of_sound_m_s: f64) -> impl Iterator<Item = f64> {
    let spacing = speed_of_sound_m_s / path_difference_m;
    (1u32..).map(move |n| f64::from(n) * spacing)
}

/// Frequency in hertz of the first dip of a speaker at a distance in metres from a rigid wall behind
/// it, for a far listener straight in front: c/(4d), for the reflection's path is 2d longer (read on
/// several pages; Allison, AES preprint 951, 1974). Nearer listeners and other angles: [`nulls_hz`].
pub fn boundary_dip_hz(distance_m: f64, speed_of_sound_m_s: f64) -> f64 {
    speed_of_sound_m_s / (4.0 * distance_m)
}
