//! Peaks and dips of a response, and what makes them.

use crate::metrics::interference::nulls_hz;
use crate::scene::{Scene, Surface};
use crate::wave_field::modes::Mode;
use crate::wave_field::solver::{BoundarySolver, FieldAtReceivers};
use glam::DVec3;
use num_complex::Complex64;

/// A peak or a dip of a level.
#[derive(Debug, Clone, PartialEq)]
pub struct Extremum {
    /// Its frequency, hertz.
    pub hz: f64,
    /// Its level against the mean of an octave about it, decibels: positive for a peak.
    pub prominence_db: f64,
    /// What makes it, most likely first; never empty.
    pub causes: Vec<ExtremumCause>,
}

/// What makes a peak or a dip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ExtremumCause {
    /// A mode that sounds there, with its share of the sum at the ear: pressure of this mode over the
    /// pressure of all together. Near one: it makes the level alone. Above one: others cancel it.
    Mode {
        /// The mode.
        mode: Mode,
        /// Its frequency, hertz.
        hz: f64,
        /// Its part of the whole.
        participation: f64,
    },
    /// A boundary whose reflection cancels the direct sound near there.
    Boundary(BoundaryInterference),
}

/// A boundary that cancels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoundaryInterference {
    /// The surface.
    pub surface: Surface,
    /// How far the speaker is from it, metres.
    pub distance_m: f64,
    /// How much longer the reflected path is, metres.
    pub path_difference_m: f64,
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
pub(super) fn extrema(
    scene: &Scene,
    (solver, heard): (&BoundarySolver, &[FieldAtReceivers]),
    (hz, pressure): (&[f64], &[Complex64]),
    (source, speaker): (usize, usize),
    listener: usize,
) -> Vec<Extremum> {
    let head = scene.listeners()[listener].at;
    let sounding =
        |i: usize| (solver.modes_at(hz[i]), heard[i].modal_amplitudes[source].as_slice());
    let level: Vec<f64> = pressure.iter().map(|p| 10.0 * p.norm_sqr().log10()).collect();
    let boundaries = boundaries(scene, scene.speakers()[speaker].at, head);
    let mut found = Vec::new();
    for i in 1..hz.len().saturating_sub(1) {
        let (a, b, c) = (level[i - 1], level[i], level[i + 1]);
        let is_peak = a < b && c <= b;
        let is_dip = b < a && b <= c;
        let prominence_db = b - mean_about(hz, &level, i);
        if !(is_peak && LEAST_DB <= prominence_db || is_dip && prominence_db <= -LEAST_DB) {
            continue;
        }
        let mut causes = modes_at(scene, sounding(i), head, pressure[i]);
        if is_dip {
            let octaves = |null_hz: f64| (null_hz / hz[i]).log2().abs();
            let mut near: Vec<BoundaryInterference> = boundaries
                .iter()
                .copied()
                .filter(|boundary| octaves(boundary.null_hz) <= NEAR_OCTAVES)
                .collect();
            near.sort_by(|x, y| octaves(x.null_hz).total_cmp(&octaves(y.null_hz)));
            causes.splice(0..0, near.into_iter().map(ExtremumCause::Boundary));
        }
        found.push(Extremum { hz: hz[i], prominence_db, causes });
    }
    found
}

/// The modes that sound most there; what is not written out as modes is smooth and has no name.
fn modes_at(
    scene: &Scene,
    (modes, modal_amplitudes): (&[Mode], &[Complex64]),
    head: DVec3,
    whole: Complex64,
) -> Vec<ExtremumCause> {
    let speed = scene.air().speed_of_sound_m_s();
    let mut parts: Vec<(f64, &Mode)> = modes
        .iter()
        .zip(modal_amplitudes)
        .map(|(mode, q)| ((q * mode.at(scene.room(), head)).norm(), mode))
        .filter(|(_, mode)| 0 < mode.varying_axes())
        .collect();
    parts.sort_by(|a, b| b.0.total_cmp(&a.0));
    parts
        .into_iter()
        .take(MODES)
        .map(|(part, &mode)| ExtremumCause::Mode {
            mode,
            hz: mode.hz(speed),
            participation: part / whole.norm(),
        })
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
fn boundaries(scene: &Scene, speaker: DVec3, head: DVec3) -> Vec<BoundaryInterference> {
    let speed = scene.air().speed_of_sound_m_s();
    let size = scene.room().size();
    let of = |surface: Surface| {
        let axis = surface.axis();
        let level = if surface.is_far() { size[axis] } else { 0.0 };
        let mut image = speaker;
        image[axis] = 2.0 * level - speaker[axis];
        let path_difference_m = image.distance(head) - speaker.distance(head);
        let distance_m = (speaker[axis] - level).abs();
        nulls_hz(path_difference_m, speed)
            .take_while(|&null_hz| null_hz <= 500.0)
            .map(move |null_hz| BoundaryInterference {
                surface,
                distance_m,
                path_difference_m,
                null_hz,
            })
            .collect::<Vec<_>>()
    };
    Surface::ALL.into_iter().flat_map(of).collect()
}
