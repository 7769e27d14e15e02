//! Peaks and dips of a transfer function, and their causes.

use super::damped_modes::DampedMode;
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
    /// Speaker whose direct sound is cancelled.
    pub speaker: SpeakerId,
    /// Surface.
    pub surface: Surface,
    /// Distance of the speaker from the surface, metres.
    pub distance_m: f64,
    /// Distance of the head from the surface, metres.
    pub head_distance_m: f64,
    /// Excess length Δ of the reflected path, metres.
    pub path_difference_m: f64,
    /// Frequency of the null, hertz: an odd multiple of c/2Δ (Everest, read).
    pub null_hz: f64,
}

/// Greatest distance of a likely cause from its extremum, as a share of the frequency; our own measure.
const LIKELY_SHARE: f64 = 0.05;
/// Least prominence of an extremum, decibels.
const MIN_PROMINENCE_DB: f64 = 3.0;
/// Number of modes named at one frequency.
const MODES_NAMED: usize = 3;
/// Greatest distance of a boundary's null from the dip it causes, octaves.
const MATCH_OCTAVES: f64 = 1.0 / 8.0;
/// Highest null of a boundary, hertz.
const HIGHEST_NULL_HZ: f64 = 500.0;

impl Extremum {
    /// The causes that lie at the frequency itself: boundaries whose null, and modes whose natural frequency,
    /// is within a twentieth of it, or within half the bandwidth of the mode.
    pub fn likely_causes(&self, modes: &[DampedMode]) -> Vec<ExtremumCause> {
        let is_likely = |cause: &ExtremumCause| match cause {
            ExtremumCause::Boundary(boundary) => {
                (boundary.null_hz - self.hz).abs() <= LIKELY_SHARE * self.hz
            }
            ExtremumCause::Mode { mode, hz, .. } => {
                let damped = modes.iter().find(|damped| damped.mode.n == mode.n);
                let half_hz = damped.and_then(DampedMode::bandwidth_hz).map_or(0.0, |hz| 0.5 * hz);
                (hz - self.hz).abs() <= half_hz.max(LIKELY_SHARE * self.hz)
            }
        };
        self.causes.iter().filter(|cause| is_likely(cause)).copied().collect()
    }
}

impl BoundaryInterference {
    /// Frequency of the null in hertz when the speaker stands so many metres farther from the surface;
    /// `None` where it would be outside the room or the reflected path no longer.
    pub fn null_when_moved_hz(
        &self,
        scene: &Scene,
        listener: ListenerId,
        farther_m: f64,
    ) -> Option<f64> {
        let axis = self.surface.axis();
        let mut speaker = scene[self.speaker].at;
        speaker[axis] += if self.surface.is_far() { -farther_m } else { farther_m };
        if !(0.0..=scene.room().size()[axis]).contains(&speaker[axis]) {
            return None;
        }
        let path_difference_m = path_difference_m(scene, self.surface, speaker, scene[listener].at);
        // The null times the path difference is an odd multiple of c/2, whatever the place.
        (0.0 < path_difference_m).then(|| self.null_hz * self.path_difference_m / path_difference_m)
    }
}

/// Solution of one speaker, or of several with one signal, at one seat.
pub(super) struct SeatSolution<'a> {
    pub(super) scene: &'a Scene,
    pub(super) solver: &'a WaveFieldSolver,
    /// Fields frequency by frequency.
    pub(super) fields: &'a [FieldAtReceivers],
    /// The speakers, each with its index among the sources of the fields.
    pub(super) sources: &'a [(usize, SpeakerId)],
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
        let amplitudes = &self.fields[index].modal_amplitudes;
        let sum = |mode: usize| -> Complex64 {
            self.sources.iter().filter_map(|&(source, _)| amplitudes[source].get(mode)).sum()
        };
        let (room, head) = (self.scene.room(), self.head());
        let mut modes: Vec<(f64, &Mode)> = self
            .solver
            .modes_at(hz)
            .iter()
            .enumerate()
            .map(|(place, mode)| ((sum(place) * mode.shape_at(room, head)).norm(), mode))
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

    /// Nulls of the first-order reflection from every surface with the direct sound of every speaker.
    fn boundary_interferences(&self) -> Vec<BoundaryInterference> {
        let speakers = self.sources.iter().map(|&(_, speaker)| speaker);
        let of_speaker = |speaker: SpeakerId| {
            Surface::ALL.into_iter().flat_map(move |surface| self.nulls(speaker, surface))
        };
        speakers.flat_map(of_speaker).collect()
    }

    /// Nulls of one reflection.
    fn nulls(
        &self,
        speaker: SpeakerId,
        surface: Surface,
    ) -> impl Iterator<Item = BoundaryInterference> + use<> {
        let (at, head) = (self.scene[speaker].at, self.head());
        let [distance_m, head_distance_m] =
            [at, head].map(|point| distance_m(self.scene, surface, point));
        let path_difference_m = path_difference_m(self.scene, surface, at, head);
        let chain = self.scene[speaker].chain;
        nulls_hz(path_difference_m, self.scene.air().speed_of_sound_m_s())
            .take_while(|&null_hz| null_hz <= HIGHEST_NULL_HZ)
            .filter(move |&null_hz| chain.plays(null_hz))
            .map(move |null_hz| BoundaryInterference {
                speaker,
                surface,
                distance_m,
                head_distance_m,
                path_difference_m,
                null_hz,
            })
    }
}

/// Coordinate of a surface along its normal, metres.
fn plane_m(scene: &Scene, surface: Surface) -> f64 {
    if surface.is_far() { scene.room().size()[surface.axis()] } else { 0.0 }
}

/// Distance of a point from a surface, metres.
fn distance_m(scene: &Scene, surface: Surface, point: DVec3) -> f64 {
    (point[surface.axis()] - plane_m(scene, surface)).abs()
}

/// Excess length of the path by way of a surface over the direct one, metres.
fn path_difference_m(scene: &Scene, surface: Surface, speaker: DVec3, head: DVec3) -> f64 {
    let mut image = speaker;
    image[surface.axis()] = 2.0 * plane_m(scene, surface) - speaker[surface.axis()];
    image.distance(head) - speaker.distance(head)
}

/// Interferences with a null near a frequency in hertz, the nearest first.
fn near(boundaries: &[BoundaryInterference], hz: f64) -> Vec<BoundaryInterference> {
    let octaves = |boundary: &BoundaryInterference| (boundary.null_hz / hz).log2().abs();
    let is_near = |boundary: &&BoundaryInterference| octaves(boundary) <= MATCH_OCTAVES;
    let mut near: Vec<BoundaryInterference> = boundaries.iter().filter(is_near).copied().collect();
    near.sort_by(|x, y| octaves(x).total_cmp(&octaves(y)));
    near
}
