//! Normal modes of the rectangular room with rigid walls.

use super::limits::MAX_MODES;
use crate::scene::{Room, Surface};
use glam::DVec3;
use std::f64::consts::{PI, TAU};

/// Normal mode of the rigid room, a product of cosines along its three sides (Kuttruff, Room
/// Acoustics, chapter 3; from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mode {
    /// Mode numbers: half wavelengths along length, width and height.
    pub n: [usize; 3],
    /// Wavenumber, radians a metre: π·√((n₁/L)² + (n₂/W)² + (n₃/H)²).
    pub wavenumber_per_m: f64,
}

impl Mode {
    /// Natural frequency in hertz: (c/2)·√((n₁/L)² + (n₂/W)² + (n₃/H)²) (several handbooks, read).
    pub fn hz(&self, speed_of_sound_m_s: f64) -> f64 {
        self.wavenumber_per_m * speed_of_sound_m_s / (2.0 * PI)
    }

    /// Mode shape at a point, orthonormal over the volume of the room, m^(−3/2).
    pub(super) fn shape_at(&self, room: &Room, point: DVec3) -> f64 {
        let size = room.size();
        (0..3).map(|axis| shape(self.n[axis], size[axis], point[axis])).product()
    }

    /// Nodal planes across an axis, metres from its origin: odd multiples of L/2n; none where the mode
    /// does not vary along that axis.
    pub fn nodal_planes_m(&self, axis: usize, room: &Room) -> Vec<f64> {
        let n = self.n[axis];
        (0..n).map(|i| (2 * i + 1) as f64 / (2 * n) as f64 * room.size()[axis]).collect()
    }

    /// Number of axes along which the pressure varies: 1 for an axial, 2 for a tangential, 3 for an
    /// oblique mode, 0 for the (0,0,0) mode.
    pub fn varying_axes(&self) -> usize {
        self.n.iter().filter(|&&n| 0 < n).count()
    }
}

/// Modes up to a wavenumber, the (0,0,0) mode included, by rising wavenumber; degenerate modes by
/// their mode numbers.
pub fn modes_up_to(room: &Room, wavenumber_per_m: f64) -> Vec<Mode> {
    let size = room.size();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let highest = |axis: usize| (wavenumber_per_m * size[axis] / PI) as usize;
    let mut modes = Vec::new();
    for a in 0..=highest(0) {
        for b in 0..=highest(1) {
            for c in 0..=highest(2) {
                let n = [a, b, c];
                let k = DVec3::from([0, 1, 2].map(|axis| PI * n[axis] as f64 / size[axis]));
                if k.length() <= wavenumber_per_m {
                    modes.push(Mode { n, wavenumber_per_m: k.length() });
                }
            }
        }
    }
    modes.sort_by(|x, y| x.wavenumber_per_m.total_cmp(&y.wavenumber_per_m).then(x.n.cmp(&y.n)));
    modes
}

/// Number of modes up to a frequency. Where Weyl's leading term 4πV/3·(f/c)³ is far beyond
/// [`MAX_MODES`] it is given instead: a hall has millions, which need not be listed.
pub(crate) fn mode_count(room: &Room, highest_hz: f64, speed_of_sound_m_s: f64) -> usize {
    let leading = 4.0 / 3.0 * PI * room.volume_m3() * (highest_hz / speed_of_sound_m_s).powi(3);
    if leading < 4.0 * MAX_MODES as f64 {
        return modes_up_to(room, TAU * highest_hz / speed_of_sound_m_s).len();
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count")]
    let modes = leading as usize;
    modes
}

/// Factor of a mode shape along one axis, `norm·cos(πn·x/L)`, orthonormal over the axis, m^(−1/2).
pub(super) fn shape(n: usize, length_m: f64, x_m: f64) -> f64 {
    norm(n, length_m) * (PI * n as f64 * x_m / length_m).cos()
}

/// Factor of a mode shape along the normal of a surface, at that surface.
pub(super) fn shape_at_surface(n: usize, surface: Surface, room: &Room) -> f64 {
    let length_m = room.size()[surface.axis()];
    shape(n, length_m, if surface.is_far() { length_m } else { 0.0 })
}

/// Normalization of the cosine: √(1/L) for n = 0, √(2/L) otherwise.
pub(super) fn norm(n: usize, length_m: f64) -> f64 {
    (if n == 0 { 1.0 } else { 2.0 } / length_m).sqrt()
}
