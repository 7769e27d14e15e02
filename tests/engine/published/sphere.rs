//! A point source on a rigid sphere against its limits.
//!
//! Morse and Ingard, Theoretical Acoustics (from memory); the first table was computed from the
//! series with 50-digit Bessel functions, independently of the recurrences in the engine.

use super::{close, close_relative};
use earline_engine::medium::directivity::sphere::{SphereSource, legendre};
use num_complex::Complex64;

fn pressure(source: &SphereSource, off_axis_deg: f64) -> Complex64 {
    let cos = off_axis_deg.to_radians().cos();
    let mut polynomials = vec![0.0; source.len()];
    legendre(cos, &mut polynomials);
    source.pressure(cos, &polynomials)
}

#[test]
fn series_in_fifty_digits() {
    // ka of the sphere, angle off the axis; pressure re the axis, phase at the source.
    #[rustfmt::skip]
    let table = [
        (0.05, 90.0, 0.998950272, -0.0250210602),
        (0.05, 180.0, 0.998736689, -0.0500633584),
        (1.0, 45.0, 0.910655379, -0.00844731073),
        (1.0, 90.0, 0.673744644, -0.130136793),
        (1.0, 180.0, 0.478656481, -0.581351608),
        (3.0, 30.0, 0.959460863, -0.000593417136),
        (3.0, 90.0, 0.661582948, -0.0578150551),
        (3.0, 180.0, -0.298528912, -0.576096535),
        (10.0, 20.0, 0.994727364, 0.0107175878),
        (10.0, 60.0, 0.899465264, 0.0540181849),
        (10.0, 120.0, 0.300593232, -0.240803746),
        (10.0, 180.0, 0.534054922, -0.00774368266),
        (30.0, 45.0, 0.985253708, 0.0260165394),
        (30.0, 135.0, -0.171915615, 0.0255769506),
        (30.0, 180.0, 0.28520053, 0.189515966),
        (60.0, 10.0, 0.999930134, 0.000536015652),
        (60.0, 90.0, 0.68835911, 0.00713364181),
        (60.0, 180.0, -0.0481553319, 0.200634122),
    ];
    for (ka, angle, re, im) in table {
        let p = pressure(&SphereSource::new(ka), angle);
        close(p.re, re, 1e-9);
        close(p.im, im, 1e-9);
    }
    for (ka, gain) in [(0.05, 1.0001833), (1.0, 1.4183956), (3.0, 1.7743545), (60.0, 1.9985983)] {
        close(SphereSource::new(ka).on_axis_gain().norm(), gain, 1e-7);
    }
}

#[test]
fn a_small_sphere_is_even_in_all_directions() {
    for angle in [45.0, 90.0, 180.0] {
        close(pressure(&SphereSource::new(1e-4), angle).norm(), 1.0, 1e-6);
    }
}

/// In front, a large sphere is a baffle: even, to where its own shadow begins. At its edge a field that creeps
/// along a hard convex surface has 1.399/2 of that on the axis (Fock's function at nought, from memory).
#[test]
fn a_big_sphere_is_a_baffle() {
    for ka in [60.0, 120.0, 300.0] {
        let source = SphereSource::new(ka);
        for angle in [10.0, 30.0, 45.0, 60.0] {
            close((pressure(&source, angle) - 1.0).norm(), 0.0, 0.06);
        }
        close(pressure(&source, 90.0).norm(), 0.5 * 1.399, 0.02);
        assert!(pressure(&source, 120.0).norm() < 0.3);
    }
}

#[test]
fn the_step_of_a_cabinet() {
    // From full to half space, +6.02 dB in all (read on two pages), centred at about 115/W Hz for a
    // cabinet W metres wide (common practice, good to a factor of 1.3). In ka of a sphere as wide,
    // at 343.2 m/s: π·115/343.2.
    let gain_db = |ka: f64| 20.0 * SphereSource::new(ka).on_axis_gain().norm().log10();
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
    let ear = SphereSource::new(ka);
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
        let source = SphereSource::new(ka);
        close((pressure(&source, 0.0) - 1.0).norm(), 0.0, 1e-12);
        for angle in [10.0, 90.0, 179.0] {
            let p = pressure(&source, angle);
            assert!(p.norm() < 1.5, "ka {ka}, {angle}°: {p}");
        }
    }
}
