//! Miki's model and layers of it.
//!
//! Miki (1990), coefficients read on a reference page of acoustic materials; transfer matrix from
//! memory of the textbooks. Figures computed from them for 343.2 m/s.

use super::close;
use earline_engine::medium::air::Air;
use earline_engine::medium::materials::PorousAbsorber;
use earline_engine::medium::materials::porous::{miki, within_fitted_range};

fn build(flow_resistivity: f64, thickness_m: f64, gap_m: f64) -> PorousAbsorber {
    PorousAbsorber::single(thickness_m, flow_resistivity, gap_m)
}

#[test]
fn characteristic_impedance_and_wavenumber() {
    // σ = 10 000 Pa·s/m²; Z_c/ρc and k in 1/m.
    let table = [
        (100.0, (2.28340, -1.96711), (5.27651, -5.03406)),
        (500.0, (1.46410, -0.71134), (15.52604, -9.30947)),
        (1000.0, (1.29948, -0.45902), (26.61158, -12.13160)),
    ];
    for (hz, impedance, wavenumber) in table {
        let medium = miki(hz, 10_000.0);
        let k = medium.index * std::f64::consts::TAU * hz / 343.2;
        close(medium.impedance.re, impedance.0, 1e-4);
        close(medium.impedance.im, impedance.1, 1e-4);
        close(k.re, wavenumber.0, 1e-3);
        close(k.im, wavenumber.1, 1e-3);
    }
    assert!(within_fitted_range(1000.0, 10_000.0) && !within_fitted_range(63.0, 10_000.0));
}

#[test]
fn surface_impedance_of_a_layer() {
    // 50 mm, σ = 10 000, 500 Hz: Z_s/ρc = 0.59237 − 1.53796j.
    let reflection = build(10_000.0, 0.05, 0.0).reflection(500.0, 1.0, &Air::default());
    let impedance = (1.0 + reflection) / (1.0 - reflection);
    close(impedance.re, 0.59237, 1e-4);
    close(impedance.im, -1.53796, 1e-4);
}

#[test]
fn absorption_of_layers() {
    // Flow resistivity, thickness, gap; α at 125 … 4000 Hz straight on and at random incidence.
    #[rustfmt::skip]
    let table = [
        (10_000.0, 0.05, 0.0, [0.0642, 0.1900, 0.4835, 0.8824, 0.9815, 0.9709], [0.1371, 0.3223, 0.5876, 0.8272, 0.9298, 0.9537]),
        (10_000.0, 0.10, 0.0, [0.2604, 0.6198, 0.9367, 0.9474, 0.9820, 0.9906], [0.3692, 0.6792, 0.8963, 0.9451, 0.9511, 0.9590]),
        (10_000.0, 0.05, 0.05, [0.1734, 0.4928, 0.9080, 0.9655, 0.8858, 0.9977], [0.1916, 0.4568, 0.7671, 0.9028, 0.9070, 0.9519]),
        (10_000.0, 0.05, 0.10, [0.3307, 0.7528, 0.9971, 0.7661, 0.9311, 0.9959], [0.2671, 0.5904, 0.8521, 0.8678, 0.9329, 0.9546]),
        (20_000.0, 0.05, 0.0, [0.0837, 0.2604, 0.6198, 0.9367, 0.9474, 0.9820], [0.1473, 0.3692, 0.6792, 0.8963, 0.9451, 0.9511]),
        (5_000.0, 0.10, 0.0, [0.1900, 0.4835, 0.8824, 0.9815, 0.9709, 0.9999], [0.3223, 0.5876, 0.8272, 0.9298, 0.9537, 0.9633]),
    ];
    let air = Air::default();
    for (resistivity, thickness, gap, normal, random) in table {
        let build = build(resistivity, thickness, gap);
        for (index, hz) in [125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0].into_iter().enumerate() {
            close(build.normal_incidence_at(hz, &air), normal[index], 1e-4);
            close(build.random_incidence_at(hz, &air), random[index], 1e-4);
        }
    }
}

#[test]
fn absorption_at_an_angle() {
    // 45°, 50 mm, σ = 10 000, no gap.
    let expected = [0.1157, 0.3101, 0.6132, 0.8706, 0.9852, 0.9901];
    let build = build(10_000.0, 0.05, 0.0);
    for (index, hz) in [125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0].into_iter().enumerate() {
        let reflection = build.reflection(hz, 0.5f64.sqrt(), &Air::default());
        close(1.0 - reflection.norm_sqr(), expected[index], 1e-4);
    }
}

#[test]
fn half_the_layer_twice_the_resistivity_an_octave_up() {
    // Exact scaling law of a layer on a rigid back: α(f, σ, d) = α(2f, 2σ, d/2).
    let air = Air::default();
    for hz in [63.0, 400.0, 3000.0] {
        for cos in [0.1, 0.5, 1.0] {
            let thick = build(10_000.0, 0.08, 0.0).reflection(hz, cos, &air);
            let thin = build(20_000.0, 0.04, 0.0).reflection(2.0 * hz, cos, &air);
            close((thick - thin).norm(), 0.0, 1e-12);
        }
    }
}

#[test]
fn limits_of_a_build() {
    let air = Air::default();
    for hz in [63.0, 1000.0, 8000.0] {
        // A layer thinned to nothing leaves the rigid back, a gap closed the layer alone.
        close(build(10_000.0, 1e-9, 0.0).normal_incidence_at(hz, &air), 0.0, 1e-6);
        let none = build(10_000.0, 0.05, 0.0).reflection(hz, 0.6, &air);
        let tiny = build(10_000.0, 0.05, 1e-9).reflection(hz, 0.6, &air);
        close((none - tiny).norm(), 0.0, 1e-5);
        // Grazing sound returns reversed, whatever the build and whatever its gap resonates at.
        for gap in [0.0, 0.1, 343.2 / (2.0 * hz)] {
            let grazing = build(10_000.0, 0.05, gap).reflection(hz, 0.0, &air);
            close((grazing + 1.0).norm(), 0.0, 1e-12);
        }
        // A gap resonance at normal incidence is finite.
        let resonant = build(10_000.0, 0.05, 343.2 / (2.0 * hz)).reflection(hz, 1.0, &air);
        let beside = build(10_000.0, 0.05, 343.2 / (2.0 * hz) + 1e-9).reflection(hz, 1.0, &air);
        close((resonant - beside).norm(), 0.0, 1e-4);
    }
}
