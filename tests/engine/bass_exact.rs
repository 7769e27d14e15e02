//! The bass against finite elements and against the exact separable solution.
#![allow(clippy::format_collect, reason = "a scene of a few lines")]

use crate::fixtures::impedance_room::{Case, line, speed};
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// Mean and greatest of what two levels differ by.
fn off(found: &[f64], exact: &[f64]) -> (f64, f64) {
    let off: Vec<f64> = found.iter().zip(exact).map(|(a, b)| (a - b).abs()).collect();
    (off.iter().sum::<f64>() / off.len() as f64, off.iter().copied().fold(0.0, f64::max))
}

/// A box with uneven walls and one strong absorber, solved with the general finite-element library
/// scikit-fem by `finite_elements/box_with_absorber.py`: quadratic hexahedra of 0.2 m, whose levels differ
/// from those of 0.3 m by what is asserted first.
#[test]
fn one_absorber_agrees_with_finite_elements() {
    let table = include_str!("finite_elements/box_with_absorber.csv");
    let rows: Vec<Vec<f64>> = table
        .lines()
        .skip(1)
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    let hz: Vec<f64> = rows.iter().map(|row| row[0]).collect();
    let more = "[[material]]\nname = \"absorber\"\n\
                impedance = [[1.6, -1.2], [1.6, -1.2], [1.6, -1.2], [1.6, -1.2], [1.6, -1.2], \
                [1.6, -1.2], [1.6, -1.2], [1.6, -1.2]]\n\
                [[panel]]\nname = \"absorber\"\non = \"left\"\ncentre = [1.8, 1.2]\nsize = [1.2, 1.2]\n\
                material = \"absorber\"\n";
    let case = Case {
        size: [4.2, 3.0, 2.4],
        zeta: [[30.0, 0.0], [18.0, -6.0], [40.0, 0.0], [40.0, 0.0], [60.0, 0.0], [25.0, -10.0]],
        speaker: [0.9, 0.8, 1.1],
        listeners: &[[2.3, 1.5, 1.2], [1.6, 2.1, 1.7], [3.7, 0.5, 0.4]],
        more,
    };
    // The script takes 343.2 m/s; the same wavenumbers at the speed of the scene.
    let scaled: Vec<f64> = hz.iter().map(|hz| hz * speed() / 343.2).collect();
    let found = case.solve(&scaled);
    for (place, pair) in found.pairs.iter().enumerate() {
        let cell = |row: &Vec<f64>, i: usize| row[1 + 3 * place + i];
        let fine: Vec<f64> =
            rows.iter().map(|row| 20.0 * cell(row, 0).hypot(cell(row, 1)).log10()).collect();
        let coarse: Vec<f64> = rows.iter().map(|row| cell(row, 2)).collect();
        let (own_mean, own_most) = off(&coarse, &fine);
        assert!(own_mean < 0.06 && own_most < 0.5, "elements at {place}: {own_mean} {own_most}");
        let (mean, most) = off(&pair.level_db, &fine);
        assert!(mean < 0.1 && most < 0.5, "receiver {place}: {mean} dB on average, {most} at most");
    }
}

/// Along one axis between two even walls: solutions X with a slope of `jk·b₀·X` and `−jk·b_L·X` at the ends.
struct Axis {
    /// q² and X at the source times X at the receiver, for ∫X² = 1 without conjugation.
    terms: Vec<(Complex64, Complex64)>,
}

impl Axis {
    /// `tan qL = jkq(b₀ + b_L)/(q² + k²·b₀·b_L)`, by Newton's method from the rigid room's nπ/L.
    fn new(k: f64, length: f64, [b0, bl]: [Complex64; 2], [source, receiver]: [f64; 2]) -> Self {
        let jk = Complex64::new(0.0, k);
        let residue = |q: Complex64| {
            (q * q + k * k * b0 * bl) * (q * length).sin() - jk * q * (b0 + bl) * (q * length).cos()
        };
        let terms = (0..40).map(|n| {
            let mut q = if n == 0 {
                (jk * (b0 + bl) / length).sqrt()
            } else {
                let first = PI * f64::from(n) / length;
                first + jk * (b0 + bl) / (first * length)
            };
            for _ in 0..60 {
                let h = 1e-6 * (1.0 + q.norm());
                let slope = (residue(q + h) - residue(q - h)) / (2.0 * h);
                q -= residue(q) / slope;
            }
            let r = jk * b0 / q;
            let x = |at: f64| (q * at).cos() + r * (q * at).sin();
            let (half, double) = (0.5 * length, (2.0 * q * length).sin() / (4.0 * q));
            let square =
                (half + double) + r * r * (half - double) + r * (q * length).sin().powi(2) / q;
            (q * q, x(source) * x(receiver) / square)
        });
        Self { terms: terms.collect() }
    }
}

/// An even impedance all round, against the exact separable solution: eigenfunctions along width and
/// height, the line between two walls in closed form along the length.
#[test]
fn an_even_room_agrees_with_the_separable_solution() {
    for zeta in [[12.0, -5.0], [40.0, 0.0], [6.0, 3.0]] {
        let size = [5.2, 3.9, 2.5];
        let (source, receiver) = ([1.2, 0.9, 1.1], [3.3, 2.4, 1.3]);
        let case =
            Case { size, zeta: [zeta; 6], speaker: source, listeners: &[receiver], more: "" };
        let hz: Vec<f64> = (10..67).map(|i| 3.0 * f64::from(i)).collect();
        let found = case.solve(&hz).pairs[0].level_db.clone();
        let b = Complex64::new(zeta[0], zeta[1]).inv();
        let exact: Vec<f64> = hz
            .iter()
            .map(|hz| {
                let k = TAU * hz / speed();
                let axis = |i: usize| Axis::new(k, size[i], [b, b], [source[i], receiver[i]]);
                let (y, z) = (axis(1), axis(2));
                let mut sum = Complex64::ZERO;
                for (ky, fy) in &y.terms {
                    for (kz, fz) in &z.terms {
                        let g = (ky + kz - k * k).sqrt();
                        sum += fy * fz * line(g, k, size[0], [b, b], [source[0], receiver[0]]);
                    }
                }
                20.0 * (4.0 * PI * sum).norm().log10()
            })
            .collect();
        let (mean, most) = off(&found, &exact);
        assert!(mean < 0.02 && most < 0.1, "{zeta:?}: {mean} dB on average, {most} at most");
    }
}
