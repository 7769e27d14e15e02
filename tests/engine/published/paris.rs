//! Paris's closed form and its inverse.
//!
//! Vigran, Building Acoustics, eq. 3.79 and 3.80 (read); figures computed from them.

use super::close;
use earline_engine::medium::materials::paris::{
    MAX_ALPHA, MAX_ALPHA_ZETA, admittance_for, impedance_for, random_incidence,
    random_incidence_real,
};
use num_complex::Complex64;

/// Paris's integral by the midpoint rule, in t with cos θ = t².
fn integrated(zeta: Complex64) -> f64 {
    let count = 20_000;
    (0..count)
        .map(|i| {
            let t = (f64::from(i) + 0.5) / f64::from(count);
            let reflection = (zeta * t * t - 1.0) / (zeta * t * t + 1.0);
            4.0 * t * t * t * (1.0 - reflection.norm_sqr()) / f64::from(count)
        })
        .sum()
}

#[test]
fn closed_form_table() {
    // ζ, α at random incidence, α straight on.
    let table = [
        (1.0, 0.0, 0.909645, 1.000000),
        (1.5, 0.0, 0.950821, 0.960000),
        (1.567, 0.0, 0.951222, 0.951212),
        (2.0, 0.0, 0.938884, 0.888889),
        (5.0, 0.0, 0.719941, 0.555556),
        (10.0, 0.0, 0.489064, 0.330579),
        (1.0, 1.0, 0.781124, 0.800000),
        (2.0, -2.0, 0.717525, 0.615385),
        (1.5, -3.0, 0.492279, 0.393443),
        (3.0, 1.0, 0.830445, 0.705882),
    ];
    for (re, im, random, normal) in table {
        let zeta = Complex64::new(re, im);
        close(random_incidence(zeta), random, 1e-6);
        close(1.0 - ((zeta - 1.0) / (zeta + 1.0)).norm_sqr(), normal, 1e-6);
    }
    // ζ = 1 gives 8·(3/2 − 2 ln 2) exactly.
    close(random_incidence_real(1.0), 8.0 * (1.5 - 2.0 * 2f64.ln()), 1e-14);
}

#[test]
fn from_normal_to_random_incidence() {
    // Real ζ from the normal-incidence α₀ by R = sqrt(1 − α₀).
    for (normal, random) in [(0.1, 0.17544), (0.2, 0.32320), (0.5, 0.66877), (0.9, 0.94242)] {
        let reflection = f64::sqrt(1.0 - normal);
        close(random_incidence_real((1.0 + reflection) / (1.0 - reflection)), random, 1e-5);
    }
}

#[test]
fn closed_form_equals_the_integral() {
    for re in [1e-6, 1e-3, 0.05, 0.3, 1.0, 4.0, 60.0, 5000.0] {
        for im in [0.0, 1e-7, 1e-3, 0.1, -0.7, 3.0, -80.0] {
            let zeta = Complex64::new(re, im);
            let (closed, sum) = (random_incidence(zeta), integrated(zeta));
            assert!((closed - sum).abs() < 2e-7 + 2e-6 * sum, "{zeta}: {closed} {sum}");
        }
    }
}

#[test]
fn greatest_absorption_of_local_reaction() {
    // Maximum 0.951222 at ζ = 1.566924 (computed; "about 0.95 at about 1.6", Vigran, read).
    close(MAX_ALPHA, 0.951222, 1e-6);
    close(MAX_ALPHA_ZETA, 1.566924, 1e-6);
    close(random_incidence_real(MAX_ALPHA_ZETA), MAX_ALPHA, 1e-14);
    for zeta in [0.99 * MAX_ALPHA_ZETA, 1.01 * MAX_ALPHA_ZETA] {
        assert!(random_incidence_real(zeta) < MAX_ALPHA);
    }
    assert!(random_incidence(Complex64::new(MAX_ALPHA_ZETA, 0.01)) < MAX_ALPHA);
}

#[test]
fn inverse_undoes_the_closed_form() {
    for alpha in [1e-9, 1e-4, 0.01, 0.02, 0.05, 0.1, 0.3, 0.5, 0.7, 0.9, 0.94, 0.951, 0.951_221] {
        let zeta = impedance_for(alpha);
        assert!(zeta >= MAX_ALPHA_ZETA);
        close(random_incidence_real(zeta), alpha, 1e-12);
    }
    for zeta in [1.567, 2.0, 5.0, 10.0, 1e3, 1e6] {
        let back = impedance_for(random_incidence_real(zeta));
        // The curve is flat at its top, so ζ is known less well there.
        close(back / zeta, 1.0, if zeta < 1.6 { 1e-6 } else { 1e-9 });
    }
}

#[test]
fn inverse_has_exact_ends() {
    assert!(admittance_for(0.0) == 0.0);
    assert!(admittance_for(-0.1) == 0.0);
    close(admittance_for(MAX_ALPHA), 1.0 / MAX_ALPHA_ZETA, 1e-15);
    close(admittance_for(1.0), 1.0 / MAX_ALPHA_ZETA, 1e-15);
    // α ≈ 8/ζ for a hard surface.
    close(impedance_for(1e-6) * 1e-6, 8.0, 1e-4);
    assert!(random_incidence_real(f64::INFINITY) == 0.0);
    assert!(random_incidence(Complex64::new(0.0, 2.0)) == 0.0);
}
