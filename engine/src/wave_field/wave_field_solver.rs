//! The wave field of a room at many frequencies, to be asked for any sources and places.

use crate::scene::{Scene, Variant};
use crate::wave_field::analysis::{HIGHEST_HZ, LOWEST_HZ, MAX_MODES, WaveFieldError};
use crate::wave_field::modes::modes_up_to;
use crate::wave_field::solver::BoundarySolver;
use crate::wave_field::solver::factorized::FactorizedBand;
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// A room in one state, made ready for rising frequencies.
#[derive(Debug)]
pub struct WaveFieldSolver {
    pub(super) solver: BoundarySolver,
    hz: Vec<f64>,
}

impl WaveFieldSolver {
    /// For rising frequencies in hertz, within [`LOWEST_HZ`] to [`HIGHEST_HZ`].
    ///
    /// # Errors
    /// Frequencies do not rise or lie outside, or the room has too many modes below them.
    pub fn new(scene: &Scene, variant: &Variant<'_>, hz: &[f64]) -> Result<Self, WaveFieldError> {
        let within = hz.iter().all(|hz| (LOWEST_HZ..=HIGHEST_HZ).contains(hz));
        let rises = hz.windows(2).all(|pair| pair[0] < pair[1]);
        let Some(highest) = hz.last().filter(|_| within && rises) else {
            return Err(WaveFieldError::InvalidFrequencies);
        };
        let modes = count_modes(scene, *highest);
        if MAX_MODES < modes {
            return Err(WaveFieldError::TooManyModes { modes });
        }
        Ok(Self { solver: BoundarySolver::new(scene, variant, hz), hz: hz.to_vec() })
    }

    /// The frequencies, hertz.
    pub fn hz(&self) -> &[f64] {
        &self.hz
    }

    /// Every frequency solved and kept, for many sources one after the other. It takes some 3 MB a
    /// frequency in a room of 60 m³ at 200 Hz.
    pub fn factorize(&self) -> FactorizedSolver<'_> {
        FactorizedSolver(self.solver.factorize())
    }

    /// Pressure of point sources at receivers: for each frequency, for each source, for each
    /// receiver. Relative to the source's own pressure at 1 m in the open, phase for e^(jωt) and zero at
    /// the source. Points must lie in the room.
    pub fn pressure(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Vec<Vec<Complex64>>> {
        self.solver.field(sources, receivers).into_iter().map(|heard| heard.pressure).collect()
    }
}

/// Frequencies solved and kept: see [`WaveFieldSolver::factorize`].
#[derive(Debug)]
pub struct FactorizedSolver<'a>(Vec<FactorizedBand<'a>>);

impl FactorizedSolver<'_> {
    /// As [`WaveFieldSolver::pressure`], on the thread that asks.
    pub fn pressure(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Vec<Vec<Complex64>>> {
        self.0.iter().flat_map(|stretch| stretch.pressure(sources, receivers)).collect()
    }
}

/// By Weyl's leading term first: a hall has millions, which nobody needs to list.
pub(crate) fn count_modes(scene: &Scene, highest_hz: f64) -> usize {
    let speed = scene.air().speed_of_sound_m_s();
    let about = 4.0 / 3.0 * PI * scene.room().volume_m3() * (highest_hz / speed).powi(3);
    if about < 4.0 * MAX_MODES as f64 {
        return modes_up_to(scene.room(), TAU * highest_hz / speed).len();
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count")]
    let modes = about as usize;
    modes
}
