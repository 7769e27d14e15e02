//! The equilateral triangle of two speakers and a head.

/// From the line between the speakers to the apex of an equilateral triangle on it: B·√3/2.
///
/// The arrangement of ITU-R BS.775-3, figure 1 (read): left and right 30° from the middle.
pub fn depth_m(base_m: f64) -> f64 {
    base_m * 0.5 * 3.0_f64.sqrt()
}

/// The base whose equilateral triangle is so deep; the inverse of [`depth_m`].
pub(super) fn base_m(depth_m: f64) -> f64 {
    depth_m * 2.0 / 3.0_f64.sqrt()
}

/// Half the angle between the speakers, degrees, seen from a place on their middle line so far from
/// the line between them; 30° at the apex.
pub fn half_angle_deg(base_m: f64, away_m: f64) -> f64 {
    (0.5 * base_m).atan2(away_m).to_degrees()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ITU-R BS.775-3, figure 1 (read): ±30°; sides of an equilateral triangle are alike.
    #[test]
    fn the_apex_sees_thirty_degrees_to_either_side() {
        for base in [0.6, 1.6, 2.4384, 4.0] {
            assert!((half_angle_deg(base, depth_m(base)) - 30.0).abs() < 1e-12);
            assert!(((0.5 * base).hypot(depth_m(base)) - base).abs() < 1e-12);
            assert!((base_m(depth_m(base)) - base).abs() < 1e-12);
        }
    }
}
