//! Interaural delays of a spherical head of 8.75 cm (radius read in several sources).

use super::close;
use earline_engine::metrics::hearing::{interaural_delay_high_s, interaural_delay_low_s};

/// Azimuth in degrees and delays in milliseconds: Woodworth at 343 m/s and at 343.2 m/s, Kuhn's
/// low-frequency limit at 343 m/s. Computed from the named formulas; tolerance 1e-4 ms.
const TABLE: [(f64, f64, f64, f64); 5] = [
    (15.0, 0.13281, 0.13273, 0.19808),
    (30.0, 0.26112, 0.26097, 0.38265),
    (45.0, 0.38074, 0.38052, 0.54115),
    (60.0, 0.48807, 0.48778, 0.66277),
    (90.0, 0.65582, 0.65543, 0.76531),
];

#[test]
fn woodworth_and_kuhn() {
    for (azimuth, at_343, at_343_2, low) in TABLE {
        close(1000.0 * interaural_delay_high_s(azimuth, 343.0), at_343, 1e-4);
        close(1000.0 * interaural_delay_high_s(azimuth, 343.2), at_343_2, 1e-4);
        close(1000.0 * interaural_delay_low_s(azimuth, 343.0), low, 1e-4);
    }
}

#[test]
fn delays_behind_and_to_the_right_mirror_those_in_front_and_left() {
    // Past 90° Woodworth's form is (r/c)(π − θ + sin θ).
    for (azimuth, high, _, low) in TABLE {
        for same in [180.0 - azimuth, azimuth + 360.0, -180.0 - azimuth] {
            close(1000.0 * interaural_delay_high_s(same, 343.0), high, 1e-4);
            close(1000.0 * interaural_delay_low_s(same, 343.0), low, 1e-4);
        }
        close(1000.0 * interaural_delay_high_s(-azimuth, 343.0), -high, 1e-4);
        close(1000.0 * interaural_delay_low_s(-azimuth, 343.0), -low, 1e-4);
    }
    close(interaural_delay_high_s(0.0, 343.0), 0.0, 1e-18);
    close(interaural_delay_high_s(180.0, 343.0), 0.0, 1e-18);
}
