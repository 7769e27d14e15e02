//! How surfaces damp modes and tie them together: `D_NM = ∮ β ψ_N ψ_M dS`.

use super::admittance::Admittance;
use super::modes::{Mode, norm, shape};
use crate::scene::{Room, Scene, State, Surface};
use num_complex::Complex64;
use std::f64::consts::PI;

/// What all surfaces and the panels on them do to modes.
#[derive(Debug, Clone)]
pub(super) struct Coupling {
    walls: Vec<Wall>,
    patches: Vec<Patch>,
}

/// A bare surface.
#[derive(Debug, Clone)]
struct Wall {
    surface: Surface,
    admittance: Admittance,
}

/// A panel: it answers instead of the surface behind it.
#[derive(Debug, Clone)]
struct Patch {
    surface: Surface,
    /// From and to, along the surface's two tape coordinates, metres.
    low_m: [f64; 2],
    high_m: [f64; 2],
    own: Admittance,
    behind: Admittance,
}

/// The coupling at one frequency, ready for any two modes.
pub(super) struct At<'a> {
    coupling: &'a Coupling,
    tables: &'a Tables,
    walls: Vec<Complex64>,
    patches: Vec<Complex64>,
}

/// Integrals of two cosines over each patch, along either of its sides.
#[derive(Debug)]
pub(super) struct Tables {
    /// Counts of half waves go up to this, not included.
    counts: [usize; 3],
    patches: Vec<[Vec<f64>; 2]>,
    /// Shape of each count at either end of each axis.
    ends: [Vec<[f64; 2]>; 3],
}

impl Coupling {
    /// Of a scene in one of its states.
    pub(super) fn new(scene: &Scene, state: &State<'_>) -> Self {
        let admittance = |index: usize| Admittance::new(&scene.materials()[index], scene.air());
        let wall = |surface: Surface| Wall {
            surface,
            admittance: admittance(scene.surface_material_index(surface)),
        };
        let patch = |panel: &&crate::scene::Panel| Patch {
            surface: panel.on,
            low_m: [0, 1].map(|axis| panel.centre_m[axis] - 0.5 * panel.size_m[axis]),
            high_m: [0, 1].map(|axis| panel.centre_m[axis] + 0.5 * panel.size_m[axis]),
            own: admittance(panel.material),
            behind: admittance(scene.surface_material_index(panel.on)),
        };
        Self {
            walls: Surface::ALL.map(wall).to_vec(),
            patches: state.panels.iter().map(patch).collect(),
        }
    }

    /// The integrals that these modes need.
    pub(super) fn tables(&self, room: &Room, modes: &[Mode]) -> Tables {
        let size = room.size();
        let counts = [0, 1, 2].map(|axis| 1 + modes.iter().map(|m| m.n[axis]).max().unwrap_or(0));
        let patch = |patch: &Patch| {
            let axes = patch.surface.tape_axes();
            [0, 1].map(|side| {
                let (axis, low, high) = (axes[side], patch.low_m[side], patch.high_m[side]);
                let count = counts[axis];
                let pairs = (0..count * count).map(|i| (i / count, i % count));
                pairs.map(|(n, m)| overlap(n, m, size[axis], low, high)).collect()
            })
        };
        let ends = [0, 1, 2].map(|axis| {
            let at = |n| [shape(n, size[axis], 0.0), shape(n, size[axis], size[axis])];
            (0..counts[axis]).map(at).collect()
        });
        Tables { counts, patches: self.patches.iter().map(patch).collect(), ends }
    }

    pub(super) fn at<'a>(&'a self, tables: &'a Tables, hz: f64) -> At<'a> {
        At {
            coupling: self,
            tables,
            walls: self.walls.iter().map(|wall| wall.admittance.at(hz)).collect(),
            patches: self.patches.iter().map(|p| p.own.at(hz) - p.behind.at(hz)).collect(),
        }
    }
}

impl At<'_> {
    /// D of two modes.
    pub(super) fn between(&self, one: &Mode, other: &Mode) -> Complex64 {
        let mut sum = Complex64::ZERO;
        let end = |axis: usize, far: bool| {
            let ends = &self.tables.ends[axis];
            ends[one.n[axis]][usize::from(far)] * ends[other.n[axis]][usize::from(far)]
        };
        for (wall, admittance) in self.coupling.walls.iter().zip(&self.walls) {
            let axis = wall.surface.axis();
            // Whole surfaces tie only modes that are alike along them.
            if wall.surface.tape_axes().iter().all(|&along| one.n[along] == other.n[along]) {
                sum += admittance * end(axis, wall.surface.is_far());
            }
        }
        let patches = self.coupling.patches.iter().zip(&self.tables.patches);
        for ((patch, [first, second]), admittance) in patches.zip(&self.patches) {
            let [a, b] = patch.surface.tape_axes();
            let of = |table: &[f64], axis: usize| {
                table[one.n[axis] * self.tables.counts[axis] + other.n[axis]]
            };
            let across = end(patch.surface.axis(), patch.surface.is_far());
            sum += admittance * (across * of(first, a) * of(second, b));
        }
        sum
    }
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
