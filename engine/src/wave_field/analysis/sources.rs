//! Several speakers fed with one signal.

use crate::scene::{Scene, SpeakerId};
use crate::wave_field::limits::WaveFieldError;
use crate::wave_field::solver::WaveFieldSolver;
use glam::DVec3;
use num_complex::Complex64;

/// Positions of speakers.
///
/// # Errors
/// A speaker that the scene does not have, or no speaker at all.
pub(super) fn source_positions(
    scene: &Scene,
    speakers: &[SpeakerId],
) -> Result<Vec<DVec3>, WaveFieldError> {
    let position = |&id: &SpeakerId| scene.speaker(id).map(|speaker| speaker.at);
    let positions: Option<Vec<DVec3>> = speakers.iter().map(position).collect();
    positions.filter(|all| !all.is_empty()).ok_or(WaveFieldError::UnknownPosition)
}

/// Coherent sum of the pressure of all sources: for each frequency, at each receiver.
pub(super) fn coherent_pressure(
    solver: &WaveFieldSolver,
    sources: &[DVec3],
    receivers: &[DVec3],
) -> Vec<Vec<Complex64>> {
    let sum = |of_sources: Vec<Vec<Complex64>>| -> Vec<Complex64> {
        let at = |receiver: usize| of_sources.iter().map(|pressure| pressure[receiver]).sum();
        (0..receivers.len()).map(at).collect()
    };
    solver.pressure(sources, receivers).into_iter().map(sum).collect()
}
