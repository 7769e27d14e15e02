//! Peaks and dips of a transfer function, and their causes.

use super::level::{level_db, octave_mean_db};
use crate::metrics::interference::nulls_hz;
use crate::scene::{ListenerId, Scene, SpeakerId, Surface};
use crate::wave_field::modes::Mode;
use crate::wave_field::solver::{FieldAtReceivers, WaveFieldSolver};
use glam::DVec3;
use num_complex::Complex64;

/// Peak or dip of the level.
#[derive(Debug, Clone, PartialEq)]
pub struct Extremum {
    /// Frequency, hertz.
    pub hz: f64,
    /// Level against the mean of the octave about it, decibels: positive for a peak.
    pub prominence_db: f64,
    /// Causes, most likely first; never empty.
    pub causes: Vec<ExtremumCause>,
}

/// Cause of a peak or a dip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ExtremumCause {
    /// Mode that is excited at the frequency.
    Mode {
        /// Mode of the rigid room.
        mode: Mode,
        /// Natural frequency, hertz.
        hz: f64,
        /// Pressure of this mode over that of the whole field at the head. Near one the mode makes the
        /// level alone; above one others cancel it.
        participation: f64,
    },
    /// Surface whose reflection cancels the direct sound near the frequency.
    Boundary(BoundaryInterference),
}

/// Destructive interference of the direct sound with the reflection from one surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoundaryInterference {
    /// Surface.
    pub surface: Surface,
    /// Distance of the speaker from the surface, metres.
    pub distance_m: f64,
    /// Excess length Δ of the reflected path, metres.
    pub path_difference_m: f64,
    /// Frequency of the null, hertz: an odd multiple of c/2Δ (Everest, read).
    pub null_hz: f64,
}

/// Least prominence of an extremum, decibels.
const MIN_PROMINENCE_DB: f64 = 3.0;
/// Number of modes named at one frequency.
const MODES_NAMED: usize = 3;
/// Greatest distance of a boundary's null from the dip it causes, octaves.
const MATCH_OCTAVES: f64 = 1.0 / 8.0;
/// Highest null of a boundary, hertz.
const HIGHEST_NULL_HZ: f64 = 500.0;

/// Solution of one speaker at one seat.
pub(super) struct SeatSolution<'a> {
    pub(super) scene: &'a Scene,
    pub(super) solver: &'a WaveFieldSolver,
    /// Fields frequency by frequency.
    pub(super) fields: &'a [FieldAtReceivers],
    /// Index of the speaker among the sources of the fields.
    pub(super) source: usize,
    /// The speaker.
    pub(super) speaker: SpeakerId,
    /// The listener.
    pub(super) listener: ListenerId,
}

/// Peaks and dips of the pressure at the middle of the head.
pub(super) fn extrema(
    seat: &SeatSolution<'_>,
    hz: &[f64],
    pressure: &[Complex64],
) -> Vec<Extremum> {
    let level: Vec<f64> = pressure.iter().copied().map(level_db).collect();
    let boundaries = seat.boundary_interferences();
    let mut extrema = Vec::new();
    for i in 1..hz.len().saturating_sub(1) {
        let (before, here, after) = (level[i - 1], level[i], level[i + 1]);
        let is_peak = before < here && after <= here;
        let is_dip = here < before && here <= after;
        let prominence_db = here - octave_mean_db(hz, &level, i);
        let is_prominent = is_peak && MIN_PROMINENCE_DB <= prominence_db
            || is_dip && prominence_db <= -MIN_PROMINENCE_DB;
        if !is_prominent {
            continue;
        }
        let mut causes = Vec::new();
        if is_dip {
            causes.extend(near(&boundaries, hz[i]).into_iter().map(ExtremumCause::Boundary));
        }
        causes.extend(seat.modes(i, hz[i], pressure[i]));
        extrema.push(Extremum { hz: hz[i], prominence_db, causes });
    }
    extrema
}

impl SeatSolution<'_> {
    fn head(&self) -> DVec3 {
        self.scene[self.listener].at
    }

    /// Modes of the greatest pressure at a frequency; the remainder of the modal sum is smooth and has
    /// no cause to name.
    fn modes(&self, index: usize, hz: f64, pressure: Complex64) -> Vec<ExtremumCause> {
        let speed = self.scene.air().speed_of_sound_m_s();
        let amplitudes = &self.fields[index].modal_amplitudes[self.source];
        let (room, head) = (self.scene.room(), self.head());
        let mut modes: Vec<(f64, &Mode)> = self
            .solver
            .modes_at(hz)
            .iter()
            .zip(amplitudes)
            .map(|(mode, q)| ((q * mode.shape_at(room, head)).norm(), mode))
            .filter(|(_, mode)| 0 < mode.varying_axes())
            .collect();
        modes.sort_by(|a, b| b.0.total_cmp(&a.0));
        let cause = |(magnitude, &mode): (f64, &Mode)| ExtremumCause::Mode {
            mode,
            hz: mode.hz(speed),
            participation: magnitude / pressure.norm(),
        };
        modes.into_iter().take(MODES_NAMED).map(cause).collect()
    }

    /// Nulls of the first-order reflection from every surface with the direct sound.
    fn boundary_interferences(&self) -> Vec<BoundaryInterference> {
        let speed = self.scene.air().speed_of_sound_m_s();
        let size = self.scene.room().size();
        let (speaker, head) = (self.scene[self.speaker].at, self.head());
        let nulls = |surface: Surface| {
            let axis = surface.axis();
            let plane_m = if surface.is_far() { size[axis] } else { 0.0 };
            let mut image = speaker;
            image[axis] = 2.0 * plane_m - speaker[axis];
            let path_difference_m = image.distance(head) - speaker.distance(head);
            let distance_m = (speaker[axis] - plane_m).abs();
            nulls_hz(path_difference_m, speed)
                .take_while(|&null_hz| null_hz <= HIGHEST_NULL_HZ)
                .map(move |null_hz| BoundaryInterference {
                    surface,
                    distance_m,
                    path_difference_m,
                    null_hz,
                })
        };
        Surface::ALL.into_iter().flat_map(nulls).collect()
    }
}

/// Interferences with a null near a frequency in hertz, the nearest first.
fn near(boundaries: &[BoundaryInterference], hz: f64) -> Vec<BoundaryInterference> {
    let octaves = |boundary: &BoundaryInterference| (boundary.null_hz / hz).log2().abs();
    let is_near = |boundary: &&BoundaryInterference| octaves(boundary) <= MATCH_OCTAVES;
    let mut near: Vec<BoundaryInterference> = boundaries.iter().filter(is_near).copied().collect();
    near.sort_by(|x, y| octaves(x).total_cmp(&octaves(y)));
    near
}
