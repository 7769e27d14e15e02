//! Peaks and dips of a response, and what makes them.

use super::modes::Mode;
use super::solve::{Heard, Solver};
use crate::metrics::interference::nulls_hz;
use crate::scene::{Scene, Surface};
use glam::DVec3;
use num_complex::Complex64;

/// A peak or a dip of a level.
#[derive(Debug, Clone, PartialEq)]
pub struct Extreme {
    /// Its frequency, hertz.
    pub hz: f64,
    /// Its level against the mean of an octave about it, decibels: positive for a peak.
    pub height_db: f64,
    /// What makes it, most likely first; never empty.
    pub causes: Vec<Cause>,
}

/// What makes a peak or a dip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cause {
    /// A mode that sounds there, with its share of the sum at the ear: pressure of this mode over the
    /// pressure of all together. Near one: it makes the level alone. Above one: others cancel it.
    Mode {
        /// The mode.
        mode: Mode,
        /// Its frequency, hertz.
        hz: f64,
        /// Its part of the whole.
        share: f64,
    },
    /// A boundary whose reflection cancels the direct sound near there.
    Boundary(Boundary),
}

/// A boundary that cancels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Boundary {
    /// The surface.
    pub surface: Surface,
    /// How far the speaker is from it, metres.
    pub distance_m: f64,
    /// How much longer the reflected path is, metres.
    pub longer_m: f64,
    /// Where it cancels: an odd multiple of c/2Δ (Everest, read), hertz.
    pub null_hz: f64,
}

/// Smaller ones are passed over, decibels.
const LEAST_DB: f64 = 3.0;
/// Modes named at one frequency.
const MODES: usize = 3;
/// A boundary is named where it cancels within so many octaves of a dip.
const NEAR_OCTAVES: f64 = 1.0 / 8.0;

/// The peaks and dips of one source at the middle of a head, where its pressure is known.
pub(super) fn extremes(
    scene: &Scene,
    (solver, heard): (&Solver, &[Heard]),
    (hz, pressure): (&[f64], &[Complex64]),
    (source, speaker): (usize, usize),
    listener: usize,
) -> Vec<Extreme> {
    let head = scene.listeners()[listener].at;
    let sounding = |i: usize| (solver.modes_at(hz[i]), heard[i].strength[source].as_slice());
    let level: Vec<f64> = pressure.iter().map(|p| 10.0 * p.norm_sqr().log10()).collect();
    let boundaries = boundaries(scene, scene.speakers()[speaker].at, head);
    let mut found = Vec::new();
    for i in 1..hz.len().saturating_sub(1) {
        let (a, b, c) = (level[i - 1], level[i], level[i + 1]);
        let is_peak = a < b && c <= b;
        let is_dip = b < a && b <= c;
        let height_db = b - mean_about(hz, &level, i);
        if !(is_peak && LEAST_DB <= height_db || is_dip && height_db <= -LEAST_DB) {
            continue;
        }
        let mut causes = modes_at(scene, sounding(i), head, pressure[i]);
        if is_dip {
            let octaves = |null_hz: f64| (null_hz / hz[i]).log2().abs();
            let mut near: Vec<Boundary> = boundaries
                .iter()
                .copied()
                .filter(|boundary| octaves(boundary.null_hz) <= NEAR_OCTAVES)
                .collect();
            near.sort_by(|x, y| octaves(x.null_hz).total_cmp(&octaves(y.null_hz)));
            causes.splice(0..0, near.into_iter().map(Cause::Boundary));
        }
        found.push(Extreme { hz: hz[i], height_db, causes });
    }
    found
}

/// The modes that sound most there; what is not written out as modes is smooth and has no name.
fn modes_at(
    scene: &Scene,
    (modes, strength): (&[Mode], &[Complex64]),
    head: DVec3,
    whole: Complex64,
) -> Vec<Cause> {
    let speed = scene.air().speed_of_sound_m_s();
    let mut parts: Vec<(f64, &Mode)> = modes
        .iter()
        .zip(strength)
        .map(|(mode, q)| ((q * mode.at(scene.room(), head)).norm(), mode))
        .filter(|(_, mode)| 0 < mode.axes())
        .collect();
    parts.sort_by(|a, b| b.0.total_cmp(&a.0));
    parts
        .into_iter()
        .take(MODES)
        .map(|(part, &mode)| Cause::Mode { mode, hz: mode.hz(speed), share: part / whole.norm() })
        .collect()
}

/// Mean energy level over half an octave to either side.
pub(super) fn mean_about(hz: &[f64], level: &[f64], i: usize) -> f64 {
    let within = |other: f64| (other / hz[i]).log2().abs() <= 0.5;
    let energies: Vec<f64> = hz
        .iter()
        .zip(level)
        .filter(|(other, _)| within(**other))
        .map(|(_, db)| 10f64.powf(0.1 * db))
        .collect();
    10.0 * (energies.iter().sum::<f64>() / energies.len() as f64).log10()
}

/// Where each surface's first reflection cancels the direct sound, up to 500 Hz.
fn boundaries(scene: &Scene, speaker: DVec3, head: DVec3) -> Vec<Boundary> {
    let speed = scene.air().speed_of_sound_m_s();
    let size = scene.room().size();
    let of = |surface: Surface| {
        let axis = surface.axis();
        let level = if surface.is_far() { size[axis] } else { 0.0 };
        let mut image = speaker;
        image[axis] = 2.0 * level - speaker[axis];
        let longer_m = image.distance(head) - speaker.distance(head);
        let distance_m = (speaker[axis] - level).abs();
        nulls_hz(longer_m, speed)
            .take_while(|&null_hz| null_hz <= 500.0)
            .map(move |null_hz| Boundary { surface, distance_m, longer_m, null_hz })
            .collect::<Vec<_>>()
    };
    Surface::ALL.into_iter().flat_map(of).collect()
}
