//! The wave field of a room at many frequencies, to be asked for any sources and places.

use super::kept::KeptStretch;
use super::modes::modes_up_to;
use super::response::{BassError, HIGHEST_HZ, LOWEST_HZ, MOST_MODES};
use super::solve::Solver;
use crate::scene::{Scene, Variant};
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// A room in one state, made ready for rising frequencies.
#[derive(Debug)]
pub struct Waves {
    pub(super) solver: Solver,
    hz: Vec<f64>,
}

impl Waves {
    /// For rising frequencies in hertz, within [`LOWEST_HZ`] to [`HIGHEST_HZ`].
    ///
    /// # Errors
    /// Frequencies do not rise or lie outside, or the room has too many modes below them.
    pub fn new(scene: &Scene, variant: &Variant<'_>, hz: &[f64]) -> Result<Self, BassError> {
        let within = hz.iter().all(|hz| (LOWEST_HZ..=HIGHEST_HZ).contains(hz));
        let rises = hz.windows(2).all(|pair| pair[0] < pair[1]);
        let Some(highest) = hz.last().filter(|_| within && rises) else {
            return Err(BassError::Frequencies);
        };
        let modes = count_modes(scene, *highest);
        if MOST_MODES < modes {
            return Err(BassError::TooManyModes { modes });
        }
        Ok(Self { solver: Solver::new(scene, variant, hz), hz: hz.to_vec() })
    }

    /// The frequencies, hertz.
    pub fn hz(&self) -> &[f64] {
        &self.hz
    }

    /// Every frequency solved and kept, for many sources one after the other. It takes some 3 MB a
    /// frequency in a room of 60 m³ at 200 Hz.
    pub fn kept(&self) -> KeptWaves<'_> {
        KeptWaves(self.solver.kept())
    }

    /// Pressure of point sources at receivers: for each frequency, for each source, for each
    /// receiver. Relative to the source's own pressure at 1 m in the open, phase for e^(jωt) and zero at
    /// the source. Points must lie in the room.
    pub fn pressure(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Vec<Vec<Complex64>>> {
        self.solver.field(sources, receivers).into_iter().map(|heard| heard.pressure).collect()
    }
}

/// Frequencies solved and kept: see [`Waves::kept`].
#[derive(Debug)]
pub struct KeptWaves<'a>(Vec<KeptStretch<'a>>);

impl KeptWaves<'_> {
    /// As [`Waves::pressure`], on the thread that asks.
    pub fn pressure(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Vec<Vec<Complex64>>> {
        self.0.iter().flat_map(|stretch| stretch.pressure(sources, receivers)).collect()
    }
}

/// By Weyl's leading term first: a hall has millions, which nobody needs to list.
pub(super) fn count_modes(scene: &Scene, highest_hz: f64) -> usize {
    let speed = scene.air().speed_of_sound_m_s();
    let about = 4.0 / 3.0 * PI * scene.room().volume_m3() * (highest_hz / speed).powi(3);
    if about < 4.0 * MOST_MODES as f64 {
        return modes_up_to(scene.room(), TAU * highest_hz / speed).len();
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count")]
    let modes = about as usize;
    modes
}
