//! Several speakers sounding alike, at many places.

use crate::scene::Scene;
use crate::wave_field::analysis::{TransferFunction, WaveField, WaveFieldError};
use crate::wave_field::wave_field_solver::WaveFieldSolver;
use glam::DVec3;
use num_complex::Complex64;

impl WaveField {
    /// Level of chosen speakers of the plan that sound alike, at one listener, relative to one speaker's
    /// own at 1 m in the open, decibels; what the plan does not have is left out.
    pub fn coherent_sum_db(&self, speakers: &[usize], listener: usize) -> Vec<f64> {
        let chosen = |pair: &&TransferFunction| {
            pair.listener == listener && speakers.contains(&pair.speaker)
        };
        let pairs: Vec<&TransferFunction> = self.pairs.iter().filter(chosen).collect();
        let sum = |i: usize| pairs.iter().map(|pair| pair.pressure[i]).sum::<Complex64>();
        (0..self.hz.len()).map(|i| level_db(sum(i))).collect()
    }
}

/// Where the chosen speakers are.
///
/// # Errors
/// The scene has no such speaker, or none is chosen.
pub(super) fn places(scene: &Scene, speakers: &[usize]) -> Result<Vec<DVec3>, WaveFieldError> {
    let at = |&index: &usize| scene.speakers().get(index).map(|speaker| speaker.at);
    let places: Option<Vec<DVec3>> = speakers.iter().map(at).collect();
    places.filter(|places| !places.is_empty()).ok_or(WaveFieldError::UnknownPosition)
}

/// Pressure of all sources together: for each frequency, at each receiver.
pub(super) fn together(
    waves: &WaveFieldSolver,
    sources: &[DVec3],
    receivers: &[DVec3],
) -> Vec<Vec<Complex64>> {
    let sum = |of_sources: Vec<Vec<Complex64>>| {
        let mut whole = vec![Complex64::ZERO; receivers.len()];
        for (place, pressure) in whole.iter_mut().enumerate() {
            *pressure = of_sources.iter().map(|of_source| of_source[place]).sum();
        }
        whole
    };
    waves.pressure(sources, receivers).into_iter().map(sum).collect()
}

/// Decibels of a pressure.
pub(super) fn level_db(pressure: Complex64) -> f64 {
    10.0 * pressure.norm_sqr().log10()
}

/// Even places from one end to another, both included, no farther apart than a step.
pub(super) fn even(from_m: f64, to_m: f64, step_m: f64) -> Vec<f64> {
    let long = to_m - from_m;
    if !(0.0 < long && 0.0 < step_m) {
        return vec![0.5 * (from_m + to_m)];
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let steps = (long / step_m).ceil().max(1.0) as u32;
    (0..=steps).map(|i| from_m + long * f64::from(i) / f64::from(steps)).collect()
}
