//! Combs and speaker-boundary dips.

use super::{close, close_relative};
use earline_engine::medium::bands::energy_db;
use earline_engine::metrics::interference::{
    CombRipple, boundary_dip_hz, comb_energy, nulls_hz, peaks_hz,
};
use glam::DVec3;

const SPEED: f64 = 343.2;
/// A foot in metres.
const FOOT: f64 = 0.3048;
/// The handbooks' speed of sound, 1130 ft/s (read in two of them).
const HANDBOOK_SPEED: f64 = 1130.0 * FOOT;

#[test]
fn ripple_of_one_reflection() {
    // Level, peak, dip, peak to peak in dB; computed from |H|² = 1 + g² + 2g·cos 2πfτ (Everest,
    // pp. 188 and 201, read).
    let table = [
        (-3.0, 4.649, -10.691, 15.340),
        (-6.0, 3.529, -6.041, 9.570),
        (-10.0, 2.387, -3.302, 5.688),
        (-15.0, 1.422, -1.701, 3.122),
        (-20.0, 0.828, -0.915, 1.743),
        (-26.0, 0.425, -0.447, 0.871),
    ];
    for (level, peak, dip, peak_to_peak) in table {
        let ripple = CombRipple::from_level_db(level);
        close(ripple.peak_db, peak, 0.001);
        close(ripple.dip_db, dip, 0.001);
        close(ripple.peak_to_peak_db(), peak_to_peak, 0.001);
    }
    let equal = CombRipple::from_level_db(0.0);
    close(equal.peak_db, 6.021, 0.001);
    assert!(equal.dip_db == f64::NEG_INFINITY);
}

#[test]
fn comb_of_a_millisecond() {
    // Everest, pp. 188 and 201–202 (read): first null 500 Hz, nulls 1000 Hz apart, peaks +6.02 dB.
    let path = 0.001 * SPEED;
    let nulls: Vec<f64> = nulls_hz(path, SPEED).take(3).collect();
    for (null, expected) in nulls.into_iter().zip([500.0, 1500.0, 2500.0]) {
        close(null, expected, 1e-9);
        close(comb_energy(null, 0.001, 1.0), 0.0, 1e-12);
    }
    for (peak, expected) in peaks_hz(path, SPEED).zip([1000.0, 2000.0, 3000.0]) {
        close(peak, expected, 1e-9);
        close(energy_db(comb_energy(peak, 0.001, 1.0)), 6.021, 0.001);
    }
}

#[test]
fn comb_spacings_of_the_handbook() {
    // Everest (read): 0.1 ms is a path of 0.113 ft; at 8 ms the peaks are 125 Hz apart (p. 193).
    close(0.0001 * HANDBOOK_SPEED / FOOT, 0.113, 1e-9);
    let first = nulls_hz(0.113 * FOOT, HANDBOOK_SPEED).next();
    close(first.unwrap_or(f64::NAN), 5000.0, 1e-6);
    let peaks: Vec<f64> = peaks_hz(0.008 * SPEED, SPEED).take(2).collect();
    close(peaks[1] - peaks[0], 125.0, 1e-9);
}

#[test]
fn comb_energy_meets_its_ripple() {
    let ripple = CombRipple::from_level_db(-6.0);
    let amplitude = 10f64.powf(-0.3);
    close(energy_db(comb_energy(1000.0, 0.001, amplitude)), ripple.peak_db, 1e-9);
    close(energy_db(comb_energy(500.0, 0.001, amplitude)), ripple.dip_db, 1e-9);
}

#[test]
fn dip_of_a_speaker_before_a_wall() {
    // c/(4d) (read on several pages; Allison 1974), figures computed with c = 343.2.
    let table = [(0.3, 286.0), (0.5, 171.6), (0.6, 143.0), (0.86, 99.8), (1.0, 85.8), (1.2, 71.5)];
    for (distance, hz) in table {
        close(boundary_dip_hz(distance, SPEED), hz, 0.05);
        let far_listener = nulls_hz(2.0 * distance, SPEED).next();
        close(far_listener.unwrap_or(f64::NAN), boundary_dip_hz(distance, SPEED), 1e-9);
    }
}

#[test]
fn dip_in_general_geometry() {
    // Computed: S (1.0, 0.9, 1.0), R (3.5, 2.0, 1.2), wall x = 0 → 90.40 Hz, not the 85.80 of a far
    // listener.
    let source = DVec3::new(1.0, 0.9, 1.0);
    let receiver = DVec3::new(3.5, 2.0, 1.2);
    let direct = source.distance(receiver);
    let reflected = DVec3::new(-1.0, 0.9, 1.0).distance(receiver);
    close(direct, 2.73861, 1e-5);
    close(reflected, 4.63681, 1e-5);
    let first = nulls_hz(reflected - direct, SPEED).next();
    close(first.unwrap_or(f64::NAN), 90.40, 0.01);
}

#[test]
fn floor_bounce() {
    // Computed: both 1.2 m high, 2.5 m apart.
    let reflected = DVec3::new(2.5, 0.0, 2.4).length();
    let difference = reflected - 2.5;
    close(reflected, 3.46554, 1e-5);
    close(1000.0 * difference / SPEED, 2.8134, 1e-4);
    close(20.0 * (2.5 / reflected).log10(), -2.837, 1e-3);
    close(nulls_hz(difference, SPEED).next().unwrap_or(f64::NAN), 177.72, 0.01);
}

#[test]
fn path_differences_in_feet() {
    // 8 ft more at 1130 ft/s cancels at 70.6 Hz, 7 ft at 81, 6 ft at 94 (read; computed).
    for (feet, hz) in [(8.0, 70.6), (7.0, 81.0), (6.0, 94.0)] {
        let first = nulls_hz(feet * FOOT, HANDBOOK_SPEED).next();
        close_relative(first.unwrap_or(f64::NAN), hz, 5e-3);
    }
}
