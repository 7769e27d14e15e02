//! What surfaces and the panels on them answer: pressure on them written as sums of cosines.

mod admittance;

use crate::scene::{Room, Scene, Surface, Variant};
use crate::wave_field::boundary::admittance::Admittance;
use crate::wave_field::modes::{norm, shape};
use num_complex::Complex64;
use std::f64::consts::PI;
use std::ops::Range;

/// All six surfaces with the panels on them.
#[derive(Debug, Clone)]
pub(super) struct RoomBoundary(Vec<WallAdmittance>);

/// A surface.
#[derive(Debug, Clone)]
struct WallAdmittance {
    surface: Surface,
    wall: Admittance,
    patches: Vec<AdmittancePatch>,
}

/// A panel: it answers instead of the surface behind it.
#[derive(Debug, Clone)]
struct AdmittancePatch {
    /// From and to, along the surface's two tape coordinates, metres.
    low_m: [f64; 2],
    high_m: [f64; 2],
    own: Admittance,
}

/// A cosine over a surface, its square integrating to one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BasisFunction {
    pub(super) surface: Surface,
    /// Half waves along all three axes; nought along the one across the surface.
    pub(super) n: [usize; 3],
    /// Square of its wavenumber along the surface, 1/m².
    pub(super) k2: f64,
}

/// All cosines up to a wavenumber, surface by surface, with what patches do to them.
#[derive(Debug)]
pub(super) struct SurfaceBasis {
    pub(super) all: Vec<BasisFunction>,
    /// Those of each surface.
    ranges: Vec<Range<usize>>,
    /// For each surface and patch, the integrals of two cosines along either side of the patch.
    overlaps: Vec<Vec<[OverlapIntegrals; 2]>>,
}

/// Integrals of two cosines between two places on one axis, by their counts.
#[derive(Debug)]
struct OverlapIntegrals {
    counts: usize,
    values: Vec<f64>,
}

/// What one surface's admittance does to its cosines.
#[derive(Debug)]
pub(super) enum AdmittanceMatrix {
    /// The same everywhere.
    Uniform(Complex64),
    /// `∮ β φ_i φ_j dS`, row by row.
    Dense(faer::Mat<Complex64>),
}

impl RoomBoundary {
    /// Of a scene in one of its states.
    pub(super) fn new(scene: &Scene, variant: &Variant<'_>) -> Self {
        let admittance = |index: usize| Admittance::new(&scene.materials()[index], scene.air());
        let skin = |surface: Surface| {
            let on = variant.panels.iter().filter(|panel| panel.on == surface);
            let patch = |panel: &&crate::scene::Panel| AdmittancePatch {
                low_m: [0, 1].map(|side| panel.centre_m[side] - 0.5 * panel.size_m[side]),
                high_m: [0, 1].map(|side| panel.centre_m[side] + 0.5 * panel.size_m[side]),
                own: admittance(panel.material),
            };
            WallAdmittance {
                surface,
                wall: admittance(scene.surface_material_index(surface)),
                patches: on.map(patch).collect(),
            }
        };
        Self(Surface::ALL.map(skin).to_vec())
    }

    /// Mean damping of a rigid mode: `∮ β ψ² dS`, 1/m.
    pub(super) fn damping(&self, room: &Room, n: [usize; 3], hz: f64) -> f64 {
        let size = room.size();
        let one = |skin: &WallAdmittance| {
            let axis = skin.surface.axis();
            let end_m = if skin.surface.is_far() { size[axis] } else { 0.0 };
            let wall = skin.wall.at(hz);
            let patches = skin.patches.iter().map(|patch| {
                let along = skin.surface.tape_axes();
                let sides = [0, 1].map(|side| {
                    let (axis, low, high) = (along[side], patch.low_m[side], patch.high_m[side]);
                    overlap(n[axis], n[axis], size[axis], low, high)
                });
                (patch.own.at(hz) - wall) * sides[0] * sides[1]
            });
            shape(n[axis], size[axis], end_m).powi(2) * (wall + patches.sum::<Complex64>()).re
        };
        self.0.iter().map(one).sum()
    }

    /// The cosines up to a wavenumber, and how patches tie them together.
    pub(super) fn ripples(&self, room: &Room, wavenumber_per_m: f64) -> SurfaceBasis {
        let size = room.size();
        let mut found = SurfaceBasis { all: Vec::new(), ranges: Vec::new(), overlaps: Vec::new() };
        for skin in &self.0 {
            let first = found.all.len();
            found.all.extend(on_surface(skin.surface, room, wavenumber_per_m));
            found.ranges.push(first..found.all.len());
            let along = skin.surface.tape_axes();
            let patch = |patch: &AdmittancePatch| {
                [0, 1].map(|side| {
                    let counts = most(wavenumber_per_m, size[along[side]]) + 1;
                    let ends = [patch.low_m[side], patch.high_m[side]];
                    OverlapIntegrals::new(counts, size[along[side]], ends)
                })
            };
            found.overlaps.push(skin.patches.iter().map(patch).collect());
        }
        found
    }

    /// What every surface does to its cosines at a frequency.
    pub(super) fn blocks(
        &self,
        ripples: &SurfaceBasis,
        hz: f64,
    ) -> Vec<(Range<usize>, AdmittanceMatrix)> {
        let one = |((skin, range), overlaps): (
            (&WallAdmittance, &Range<usize>),
            &Vec<[OverlapIntegrals; 2]>,
        )| {
            (range.clone(), skin.block(&ripples.all[range.clone()], overlaps, hz))
        };
        self.0.iter().zip(&ripples.ranges).zip(&ripples.overlaps).map(one).collect()
    }
}

impl WallAdmittance {
    fn block(
        &self,
        ripples: &[BasisFunction],
        overlaps: &[[OverlapIntegrals; 2]],
        hz: f64,
    ) -> AdmittanceMatrix {
        let wall = self.wall.at(hz);
        if self.patches.is_empty() {
            return AdmittanceMatrix::Uniform(wall);
        }
        let more: Vec<Complex64> = self.patches.iter().map(|p| p.own.at(hz) - wall).collect();
        let [a, b] = self.surface.tape_axes();
        let between = |i: usize, j: usize| {
            let (one, other) = (&ripples[i].n, &ripples[j].n);
            let patches = more.iter().zip(overlaps).map(|(more, [first, second])| {
                more * (first.of(one[a], other[a]) * second.of(one[b], other[b]))
            });
            let even = if i == j { wall } else { Complex64::ZERO };
            even + patches.sum::<Complex64>()
        };
        let count = ripples.len();
        let mut block = faer::Mat::zeros(count, count);
        for i in 0..count {
            for j in i..count {
                block[(i, j)] = between(i, j);
                block[(j, i)] = block[(i, j)];
            }
        }
        AdmittanceMatrix::Dense(block)
    }
}

impl OverlapIntegrals {
    fn new(counts: usize, length_m: f64, [low, high]: [f64; 2]) -> Self {
        let pairs = (0..counts * counts).map(|i| (i / counts, i % counts));
        Self { counts, values: pairs.map(|(n, m)| overlap(n, m, length_m, low, high)).collect() }
    }

    fn of(&self, n: usize, m: usize) -> f64 {
        self.values[n * self.counts + m]
    }
}

/// Cosines over one surface, in the order of their counts.
fn on_surface(
    surface: Surface,
    room: &Room,
    wavenumber_per_m: f64,
) -> impl Iterator<Item = BasisFunction> {
    let (size, [a, b]) = (room.size(), surface.tape_axes());
    let ends = [a, b].map(|axis| most(wavenumber_per_m, size[axis]));
    let pairs = (0..=ends[0]).flat_map(move |i| (0..=ends[1]).map(move |j| (i, j)));
    pairs.filter_map(move |(i, j)| {
        let mut n = [0; 3];
        (n[a], n[b]) = (i, j);
        let k2 = (PI * i as f64 / size[a]).powi(2) + (PI * j as f64 / size[b]).powi(2);
        (k2 <= wavenumber_per_m.powi(2)).then_some(BasisFunction { surface, n, k2 })
    })
}

/// Half waves that fit on a side up to a wavenumber.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
fn most(wavenumber_per_m: f64, length_m: f64) -> usize {
    (wavenumber_per_m * length_m / PI) as usize
}

/// ∫ of the product of two scaled cosines from `low` to `high`, in closed form.
fn overlap(n: usize, m: usize, length_m: f64, low: f64, high: f64) -> f64 {
    let cosine = |count: f64| {
        if count == 0.0 {
            return high - low;
        }
        let k = PI * count / length_m;
        ((k * high).sin() - (k * low).sin()) / k
    };
    let (n_, m_) = (n as f64, m as f64);
    0.5 * norm(n, length_m) * norm(m, length_m) * (cosine((n_ - m_).abs()) + cosine(n_ + m_))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Over a whole side the scaled cosines are at right angles and of length one.
    #[test]
    fn whole_sides_are_orthonormal() {
        for n in 0..6 {
            for m in 0..6 {
                let expected = if n == m { 1.0 } else { 0.0 };
                assert!((overlap(n, m, 4.2, 0.0, 4.2) - expected).abs() < 1e-12, "{n} {m}");
            }
        }
    }

    /// Against a sum over many small steps.
    #[test]
    fn overlaps_are_integrals() {
        for (n, m) in [(0, 0), (0, 3), (2, 2), (2, 5), (4, 1)] {
            let step = 0.9 / 9000.0;
            let at = |i: u32| 0.7 + (f64::from(i) + 0.5) * step;
            let product = |x: f64| shape(n, 3.1, x) * shape(m, 3.1, x);
            let sum: f64 = (0..9000).map(|i| product(at(i)) * step).sum();
            assert!((overlap(n, m, 3.1, 0.7, 1.6) - sum).abs() < 1e-7, "{n} {m}");
        }
    }
}
