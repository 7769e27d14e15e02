//! Arrival-time difference at the two ears of a spherical head.

use std::f64::consts::PI;

/// Radius of the spherical head in metres, the usual 8.75 cm (read in several sources).
pub const HEAD_RADIUS_M: f64 = 0.0875;

/// Interaural delay in seconds at high frequencies, for sound from an azimuth in degrees, 0
/// straight ahead and positive to the left, where the left ear leads and the delay is positive.
///
/// Woodworth's path around a sphere with opposite ears, (r/c)(θ + sin θ) to the side and its
/// mirror image behind (read in several sources); it is the high-frequency limit (Aaronson and
/// Hartmann 2014, abstract read). Speed of sound in metres a second.
pub fn interaural_delay_high_s(azimuth_deg: f64, speed_of_sound_m_s: f64) -> f64 {
    let turn = wrapped_rad(azimuth_deg);
    let angle = turn.abs();
    let aside = if angle <= 0.5 * PI { angle } else { PI - angle };
    (HEAD_RADIUS_M / speed_of_sound_m_s * (aside + aside.sin())).copysign(turn)
}

/// Interaural delay in seconds in the low-frequency limit, 3(r/c) sin θ (Kuhn 1977, read
/// second-hand); the arguments and the sign are those of [`interaural_delay_high_s`].
pub fn interaural_delay_low_s(azimuth_deg: f64, speed_of_sound_m_s: f64) -> f64 {
    3.0 * HEAD_RADIUS_M / speed_of_sound_m_s * wrapped_rad(azimuth_deg).sin()
}

/// The azimuth in radians between −π and π.
fn wrapped_rad(azimuth_deg: f64) -> f64 {
    (azimuth_deg - 360.0 * (azimuth_deg / 360.0).round()).to_radians()
}
