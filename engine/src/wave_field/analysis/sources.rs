//! Several speakers fed with one signal.

use crate::scene::{Scene, SpeakerId};
use crate::wave_field::limits::WaveFieldError;
use crate::wave_field::solver::WaveFieldSolver;
use crate::wave_field::speaker_sources::SpeakerSources;
use glam::DVec3;
use num_complex::Complex64;

/// Speakers as sources.
///
/// # Errors
/// A speaker that the scene does not have, or no speaker at all.
pub(super) fn speaker_sources<'a>(
    scene: &'a Scene,
    speakers: &[SpeakerId],
) -> Result<SpeakerSources<'a>, WaveFieldError> {
    if speakers.is_empty() || speakers.iter().any(|&id| scene.speaker(id).is_none()) {
        return Err(WaveFieldError::UnknownPosition);
    }
    Ok(SpeakerSources::new(scene, speakers))
}

/// Coherent sum of the pressure of all speakers: for each frequency, at each receiver.
pub(super) fn coherent_pressure(
    solver: &WaveFieldSolver,
    sources: &SpeakerSources<'_>,
    receivers: &[DVec3],
) -> Vec<Vec<Complex64>> {
    let sum = |(of_points, &hz): (Vec<Vec<Complex64>>, &f64)| -> Vec<Complex64> {
        let of_speakers = sources.combined(hz, &of_points);
        let at = |receiver: usize| of_speakers.iter().map(|pressure| pressure[receiver]).sum();
        (0..receivers.len()).map(at).collect()
    };
    solver.pressure(sources.points(), receivers).into_iter().zip(solver.hz()).map(sum).collect()
}
