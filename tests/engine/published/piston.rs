//! The circular piston in an infinite baffle.
//!
//! D(x) = 2·J₁(x)/x (read on a data page and in lecture notes); figures computed from it.

use super::{close, close_relative};
use earline_engine::medium::air::Air;
use earline_engine::medium::directivity::piston::{piston_directivity_index_db, piston_in_baffle};

fn db(factor: f64) -> f64 {
    20.0 * factor.abs().log10()
}

/// Where the pattern falls to a level, by bisection on its first lobe.
fn crossing(level_db: f64) -> f64 {
    let (mut low, mut high) = (1e-3, 3.8);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if db(piston_in_baffle(middle)) > level_db { low = middle } else { high = middle }
    }
    low
}

#[test]
fn pattern_table() {
    #[rustfmt::skip]
    let table = [
        (0.5, 0.969074, -0.273), (1.0, 0.880101, -1.109), (1.5, 0.743915, -2.570),
        (2.0, 0.576725, -4.781), (2.5, 0.397675, -8.009), (3.0, 0.226039, -12.916),
        (5.1356, -0.132279, -17.570), (8.4172, 0.064483, -23.811),
    ];
    for (x, factor, level) in table {
        close(piston_in_baffle(x), factor, 1e-5);
        close(db(piston_in_baffle(x)), level, 1e-3);
    }
}

#[test]
fn nulls_lobes_and_half_power() {
    for null in [3.83171, 7.01559, 10.17347] {
        close(piston_in_baffle(null), 0.0, 1e-5);
    }
    // The pattern's own lobes stand at the zeros of J₂.
    for lobe in [5.1356, 8.4172] {
        let slope = piston_in_baffle(lobe + 1e-3) - piston_in_baffle(lobe - 1e-3);
        close(slope, 0.0, 1e-7);
    }
    #[rustfmt::skip]
    let levels = [
        (-3.0103, 1.61634), (-3.000, 1.61374), (-6.000, 2.21179), (-6.0206, 2.21509),
        (-10.0, 2.73138), (-1.0, 0.95045),
    ];
    for (level, x) in levels {
        close(crossing(level), x, 2e-5);
    }
    // First null at sin θ = 1.22·λ/D, half power at 0.51·λ/D (read): x = π(D/λ)·sin θ.
    close(3.83171 / std::f64::consts::PI, 1.2197, 1e-4);
    close(crossing(-3.0103) / std::f64::consts::PI, 0.5145, 1e-4);
}

#[test]
fn directivity_index() {
    // 10·lg[(ka)²/(1 − J₁(2ka)/ka)] (Kinsler and Frey, from memory; computed).
    let table = [
        (0.5, 3.191),
        (1.0, 3.734),
        (2.0, 5.880),
        (3.0, 9.159),
        (4.0, 12.304),
        (5.0, 14.017),
        (10.0, 20.029),
    ];
    for (ka, index) in table {
        close(piston_directivity_index_db(ka), index, 1e-3);
        // The same by integrating the pattern over the half space it radiates into.
        let count = 20_000;
        let mean: f64 = (0..count)
            .map(|i| {
                let cos = (f64::from(i) + 0.5) / f64::from(count);
                piston_in_baffle(ka * (1.0 - cos * cos).sqrt()).powi(2) / f64::from(count)
            })
            .sum();
        close(piston_directivity_index_db(ka), -10.0 * (0.5 * mean).log10(), 1e-4);
    }
    close(piston_directivity_index_db(0.0), 3.0103, 1e-4);
    close(piston_directivity_index_db(0.999e-3), piston_directivity_index_db(1.001e-3), 1e-6);
}

#[test]
fn where_cones_begin_to_beam() {
    // ka = 1 at 662 Hz for 165 mm, 840 Hz for 130 mm, 4370 Hz for 25 mm (computed).
    let speed = Air::default().speed_of_sound_m_s();
    for (diameter, hz) in [(0.165, 662.0), (0.130, 840.0), (0.025, 4370.0)] {
        close_relative(speed / (std::f64::consts::PI * diameter), hz, 1e-3);
    }
}
