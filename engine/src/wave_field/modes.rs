//! The modes of the room as if all its surfaces were rigid.

use crate::scene::Room;
use glam::DVec3;
use std::f64::consts::PI;

/// A mode of the rigid room: cosines along its three sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mode {
    /// How many half waves fit along length, width and height.
    pub n: [usize; 3],
    /// Its wavenumber, radians a metre: π·√((n₁/L)² + (n₂/W)² + (n₃/H)²).
    pub wavenumber_per_m: f64,
}

impl Mode {
    /// Its frequency in hertz: (c/2)·√((n₁/L)² + (n₂/W)² + (n₃/H)²) (several handbooks, read).
    pub fn hz(&self, speed_of_sound_m_s: f64) -> f64 {
        self.wavenumber_per_m * speed_of_sound_m_s / (2.0 * PI)
    }

    /// Its shape at a point, scaled so that its square integrates to one over the room.
    pub(super) fn at(&self, room: &Room, point: DVec3) -> f64 {
        let size = room.size();
        (0..3).map(|axis| shape(self.n[axis], size[axis], point[axis])).product()
    }

    /// Planes across an axis where it is silent, metres from the near end: odd multiples of L/2n; none
    /// where it has no half wave along it.
    pub fn nodal_planes_m(&self, axis: usize, room: &Room) -> Vec<f64> {
        let n = self.n[axis];
        (0..n).map(|i| (2 * i + 1) as f64 / (2 * n) as f64 * room.size()[axis]).collect()
    }

    /// On how many axes it has half waves: 1 axial, 2 tangential, 3 oblique; 0 is even pressure.
    pub fn varying_axes(&self) -> usize {
        self.n.iter().filter(|&&n| 0 < n).count()
    }
}

/// All modes up to a wavenumber, the even pressure included, in rising order; where two are equal, in
/// the order of their counts.
pub fn modes_up_to(room: &Room, wavenumber_per_m: f64) -> Vec<Mode> {
    let size = room.size();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let most = |axis: usize| (wavenumber_per_m * size[axis] / PI) as usize;
    let mut found = Vec::new();
    for a in 0..=most(0) {
        for b in 0..=most(1) {
            for c in 0..=most(2) {
                let n = [a, b, c];
                let k = DVec3::from([0, 1, 2].map(|axis| PI * n[axis] as f64 / size[axis]));
                if k.length() <= wavenumber_per_m {
                    found.push(Mode { n, wavenumber_per_m: k.length() });
                }
            }
        }
    }
    found.sort_by(|x, y| x.wavenumber_per_m.total_cmp(&y.wavenumber_per_m).then(x.n.cmp(&y.n)));
    found
}

/// A cosine along one side with so many half waves, its square integrating to one over the side.
pub(super) fn shape(n: usize, length_m: f64, at_m: f64) -> f64 {
    norm(n, length_m) * (PI * n as f64 * at_m / length_m).cos()
}

pub(super) fn norm(n: usize, length_m: f64) -> f64 {
    (if n == 0 { 1.0 } else { 2.0 } / length_m).sqrt()
}
