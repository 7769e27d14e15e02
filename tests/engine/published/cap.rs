//! A vibrating cap on a rigid sphere against its limits.
//!
//! Morse and Ingard, Theoretical Acoustics (from memory); the first table was computed from the
//! series with 50-digit Bessel functions, independently of the recurrences in the engine.

use super::{close, close_relative};
use earline_engine::medium::directivity::cap::{PolarCap, legendre};
use earline_engine::medium::directivity::piston::{piston_directivity_index_db, piston_in_baffle};
use num_complex::Complex64;

fn cap(ka: f64, half_angle_deg: f64) -> PolarCap {
    PolarCap::new(ka, half_angle_deg.to_radians())
}

fn pressure(cap: &PolarCap, off_axis_deg: f64) -> Complex64 {
    let cos = off_axis_deg.to_radians().cos();
    let mut polynomials = vec![0.0; cap.len()];
    legendre(cos, &mut polynomials);
    cap.pressure(cos, &polynomials)
}

#[test]
fn series_in_fifty_digits() {
    // ka of the sphere, half angle, angle off the axis; pressure re the axis, phase at the cap.
    #[rustfmt::skip]
    let table = [
        (0.05, 20.0, 90.0, 0.998986943, -0.0227614055),
        (0.05, 20.0, 180.0, 0.998953197, -0.04554542),
        (1.0, 30.0, 45.0, 0.89496483, 0.012305528),
        (1.0, 30.0, 90.0, 0.657584845, -0.0754617335),
        (1.0, 30.0, 180.0, 0.558793188, -0.483758463),
        (3.0, 30.0, 30.0, 0.899316494, 0.0372630779),
        (3.0, 30.0, 90.0, 0.455463964, 0.103864073),
        (3.0, 30.0, 180.0, 0.0357471062, -0.458454423),
        (10.0, 20.0, 20.0, 0.835203337, 0.0395007142),
        (10.0, 20.0, 60.0, 0.201399467, 0.105827397),
        (10.0, 20.0, 120.0, 0.0143314296, 0.0411579128),
        (10.0, 20.0, 180.0, -0.0275942875, 0.0670720062),
        (30.0, 15.0, 45.0, -0.136592873, 0.00914670008),
        (30.0, 15.0, 135.0, -0.013234741, -0.00336021372),
        (30.0, 15.0, 180.0, 0.0154210789, 0.0223325613),
        (60.0, 5.0, 10.0, 0.900432602, 0.00570094602),
        (60.0, 5.0, 90.0, -0.0890440169, -0.0108844544),
        (60.0, 5.0, 180.0, 0.0107977552, -0.0251861072),
    ];
    for (ka, half_angle, angle, re, im) in table {
        let p = pressure(&cap(ka, half_angle), angle);
        close(p.re, re, 1e-9);
        close(p.im, im, 1e-9);
    }
    for (ka, half_angle, gain) in [
        (0.05, 20.0, 1.0001391),
        (1.0, 30.0, 1.389605),
        (3.0, 30.0, 1.7256154),
        (60.0, 5.0, 1.9942733),
    ] {
        close(cap(ka, half_angle).on_axis_gain().norm(), gain, 1e-7);
    }
}

#[test]
fn a_sphere_that_breathes_is_even_in_all_directions() {
    // The whole sphere moving is the textbook monopole: no directivity at any frequency, and its
    // phase is that of the sphere's middle.
    for ka in [1e-3, 0.5, 7.0, 60.0] {
        let sphere = cap(ka, 180.0);
        for angle in [0.0, 60.0, 135.0, 180.0f64] {
            let to_middle = Complex64::cis(ka * (1.0 - angle.to_radians().cos()));
            close((pressure(&sphere, angle) - to_middle).norm(), 0.0, 1e-10);
        }
        close(sphere.directivity_index_db(), 0.0, 1e-9);
    }
}

#[test]
fn a_small_source_is_even_in_all_directions() {
    for angle in [45.0, 90.0, 180.0] {
        close(pressure(&cap(1e-4, 40.0), angle).norm(), 1.0, 1e-6);
    }
    close(cap(0.01, 40.0).directivity_index_db(), 0.0, 1e-3);
}

#[test]
fn a_big_sphere_is_a_baffle() {
    // High ka and a small cap: the piston in an infinite baffle, 2·J₁(x)/x (read). What is left is
    // the cap's bulge, ½ka·θ₀² in phase, and the waves that creep round the sphere.
    for (ka, half_angle) in [(60.0, 5.0), (120.0, 2.0), (100.0, 4.0)] {
        let driver_ka = ka * f64::to_radians(half_angle).sin();
        for angle in [5.0, 15.0, 25.0, 40.0] {
            let piston = piston_in_baffle(driver_ka * f64::to_radians(angle).sin());
            close((pressure(&cap(ka, half_angle), angle) - piston).norm(), 0.0, 0.03);
        }
        let index = cap(ka, half_angle).directivity_index_db();
        close(index, piston_directivity_index_db(driver_ka), 0.15);
    }
}

#[test]
fn directivity_index_is_the_mean_over_all_directions() {
    let cap = cap(8.0, 25.0);
    let count = 20_000;
    let mean: f64 = (0..count)
        .map(|i| {
            let cos = 2.0 * (f64::from(i) + 0.5) / f64::from(count) - 1.0;
            let mut polynomials = vec![0.0; cap.len()];
            legendre(cos, &mut polynomials);
            cap.pressure(cos, &polynomials).norm_sqr() / f64::from(count)
        })
        .sum();
    close(cap.directivity_index_db(), -10.0 * mean.log10(), 1e-6);
}

#[test]
fn the_step_of_a_cabinet() {
    // From full to half space, +6.02 dB in all (read on two pages), centred at about 115/W Hz for a
    // cabinet W metres wide (common practice, good to a factor of 1.3). In ka of a sphere as wide,
    // at 343.2 m/s: π·115/343.2.
    let gain_db = |ka: f64| 20.0 * cap(ka, 2.0).on_axis_gain().norm().log10();
    close(gain_db(0.01), 0.0, 0.01);
    close(gain_db(80.0), 6.02, 0.05);
    let (mut low, mut high) = (0.1, 3.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if gain_db(middle) < 3.01 { low = middle } else { high = middle }
    }
    let rule = std::f64::consts::PI * 115.0 / 343.2;
    assert!(low / rule < 1.3 && rule / low < 1.3, "ka {low} against {rule}");
}

#[test]
fn two_ears_on_a_small_sphere_differ_as_kuhn_says() {
    // By reciprocity a small source on a sphere is an ear on a head: at low frequency the delay
    // between opposite ears is 3(a/c)·sin θ (Kuhn 1977, read second-hand), a phase of 3ka·sin θ.
    let ka = 0.01;
    let ear = cap(ka, 1.0);
    for azimuth in [15.0, 30.0, 60.0, 90.0] {
        let at_middle = |angle: f64| {
            pressure(&ear, angle) * Complex64::cis(-ka * (1.0 - angle.to_radians().cos()))
        };
        let ratio = at_middle(90.0 - azimuth) / at_middle(90.0 + azimuth);
        close_relative(ratio.arg(), 3.0 * ka * azimuth.to_radians().sin(), 2e-4);
    }
}

#[test]
fn recurrences_hold_at_both_ends() {
    // A cabinet of 0.3 m at 8 kHz and above has ka of some 60; a small one at 45 Hz 0.02. Nothing
    // overflows between or beyond, and nothing exceeds the axis by more than ripple.
    for ka in [1e-8, 1e-3, 0.02, 1.0, 62.0, 300.0, 900.0] {
        for half_angle in [0.5, 10.0, 65.0] {
            let cap = cap(ka, half_angle);
            close((pressure(&cap, 0.0) - 1.0).norm(), 0.0, 1e-12);
            for angle in [10.0, 90.0, 179.0] {
                let p = pressure(&cap, angle);
                assert!(p.norm() < 1.5, "ka {ka}, {half_angle}°, {angle}°: {p}");
            }
        }
    }
}
