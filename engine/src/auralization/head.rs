//! A spherical head: delay and shadow at each ear relative to its middle.
//!
//! The delay is Woodworth's path around a sphere with ears at its sides, for any direction; the
//! shadow is the filter of one pole and one zero by Brown and Duda, A structural model for binaural
//! sound synthesis, IEEE Trans. Speech Audio Process. 6(5), 1998 (from memory):
//! H = (1 + jα·ω/2ω₀)/(1 + j·ω/2ω₀), ω₀ = c/r.

use crate::metrics::hearing::HEAD_RADIUS_M;
use num_complex::Complex64;
use std::f64::consts::{FRAC_PI_2, TAU};

/// The angle of incidence at which an ear is shadowed most, radians: 150°. Straight opposite, sound
/// that comes around from all sides meets again.
pub const THETA_MIN_RAD: f64 = 150.0 / 180.0 * std::f64::consts::PI;

/// Pressure factor of the highest frequencies at that angle.
const ALPHA_MIN: f64 = 0.1;

/// Delay of an ear relative to the middle of the head, seconds: before it
/// on the near side, by r·cos θ, and after it where it goes around the head, by the arc.
///
/// `incidence_rad` is the angle θ between where sound comes from and the ear's own axis, 0 to π.
pub fn ear_delay_s(incidence_rad: f64, speed_of_sound_m_s: f64) -> f64 {
    let radii =
        if incidence_rad < FRAC_PI_2 { -incidence_rad.cos() } else { incidence_rad - FRAC_PI_2 };
    radii * HEAD_RADIUS_M / speed_of_sound_m_s
}

/// The α of the head's shadow: what becomes of pressure at the highest frequencies, 2 straight at the
/// ear and 0.1 where it is shadowed most, (1 + α₀/2) + (1 − α₀/2)·cos(θ/θ₀·180°).
pub fn shadow_alpha(incidence_rad: f64) -> f64 {
    let turn = incidence_rad / THETA_MIN_RAD * std::f64::consts::PI;
    (1.0 + ALPHA_MIN / 2.0) + (1.0 - ALPHA_MIN / 2.0) * turn.cos()
}

/// Pressure at an ear relative to the free field, for an α of [`shadow_alpha`].
pub fn head_shadow(alpha: f64, hz: f64, speed_of_sound_m_s: f64) -> Complex64 {
    let [around, shadowed] = head_filter_parts(hz, speed_of_sound_m_s);
    around + alpha * shadowed
}

/// The two parts of [`head_shadow`]: what the head lets pass whatever the angle, and what is to
/// be weighted with α. Since only α hangs on direction, a sum over arrivals needs two filters,
/// not one for each.
pub(super) fn head_filter_parts(hz: f64, speed_of_sound_m_s: f64) -> [Complex64; 2] {
    let turn = Complex64::new(0.0, TAU * hz * HEAD_RADIUS_M / (2.0 * speed_of_sound_m_s));
    let around = 1.0 / (1.0 + turn);
    [around, turn * around]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metrics::hearing::interaural_delay_high_s;
    use std::f64::consts::PI;

    const SPEED_M_S: f64 = 343.0;

    /// Woodworth's 0.656 ms at 90° for r = 8.75 cm and c = 343 m/s (read in several sources), and
    /// the formula of `hearing` at every azimuth.
    #[test]
    fn ears_differ_as_woodworth_says() {
        let between = |azimuth_deg: f64| {
            let to_left = azimuth_deg.to_radians().sin().clamp(-1.0, 1.0).acos();
            ear_delay_s(PI - to_left, SPEED_M_S) - ear_delay_s(to_left, SPEED_M_S)
        };
        assert!((between(90.0) - 0.65582e-3).abs() < 1e-8);
        for azimuth_deg in (-180..=180).step_by(15).map(f64::from) {
            let published = interaural_delay_high_s(azimuth_deg, SPEED_M_S);
            assert!((between(azimuth_deg) - published).abs() < 1e-12, "{azimuth_deg}");
        }
    }

    /// 6 dB louder straight at the ear, 20 dB quieter where the shadow is deepest, and no shadow at
    /// all for sound that is long against the head: what the filter is made for.
    #[test]
    fn the_shadow_has_its_ends() {
        let far = |incidence: f64, hz: f64| {
            20.0 * head_shadow(shadow_alpha(incidence), hz, SPEED_M_S).norm().log10()
        };
        assert!((far(0.0, 1e6) - 6.02).abs() < 0.01);
        assert!((far(THETA_MIN_RAD, 1e6) + 20.0).abs() < 0.1);
        for incidence in [0.0, 1.0, 2.0, PI] {
            assert!(far(incidence, 20.0).abs() < 0.01);
        }
        assert!(shadow_alpha(PI) > shadow_alpha(THETA_MIN_RAD));
    }
}
