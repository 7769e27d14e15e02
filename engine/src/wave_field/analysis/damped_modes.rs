//! Modes of a room with their decay times.

use crate::scene::Scene;
use crate::wave_field::modes::{Mode, modes_up_to};
use crate::wave_field::solver::WaveFieldSolver;
use std::f64::consts::TAU;

/// Mode with its decay time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DampedMode {
    /// Mode of the rigid room.
    pub mode: Mode,
    /// Natural frequency in the rigid room, hertz.
    pub hz: f64,
    /// Decay time to −60 dB, seconds, by first-order perturbation; `None` without damping.
    pub decay_s: Option<f64>,
}

/// Product of the bandwidth of a mode in hertz and its decay time in seconds: 3·ln 10/π, for a bandwidth to
/// −3 dB (read second-hand as 2.2).
const BANDWIDTH_TIMES_DECAY: f64 = 3.0 * std::f64::consts::LN_10 / std::f64::consts::PI;

impl DampedMode {
    /// Bandwidth to −3 dB, hertz; `None` without damping.
    pub fn bandwidth_hz(&self) -> Option<f64> {
        self.decay_s.map(|decay_s| BANDWIDTH_TIMES_DECAY / decay_s)
    }
}

/// Modes up to a frequency in hertz, by rising frequency, without the (0,0,0) mode.
pub(super) fn damped_modes(
    scene: &Scene,
    solver: &WaveFieldSolver,
    highest_hz: f64,
) -> Vec<DampedMode> {
    let speed = scene.air().speed_of_sound_m_s();
    let modes = modes_up_to(scene.room(), TAU * highest_hz / speed);
    modes
        .into_iter()
        .filter(|mode| 0 < mode.varying_axes())
        .map(|mode| DampedMode { hz: mode.hz(speed), decay_s: solver.decay_s(&mode), mode })
        .collect()
}
