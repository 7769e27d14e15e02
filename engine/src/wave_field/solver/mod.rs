//! Pressure of point sources at any points of the room, frequency by frequency.
//!
//! Green's theorem with the Green's function G of the rigid room makes the surfaces into sources:
//! `p(r) = G(r, s) − (jk/4π) ∮ β G(r, r′) p(r′) dS′` (Morse and Ingard, Theoretical Acoustics; from
//! memory). With the pressure on the surfaces expanded in cosines, and G summed in closed form along the
//! normal of a surface, this is a small dense system. Only the cosines on the surfaces are truncated.

mod condensation;
mod condensed_surfaces;
mod factorized;
mod field_at_receivers;
mod frequency_system;
mod modal_remainder;
mod rigid_greens;
mod sub_band;
mod workload;

pub use factorized::FactorizedSolver;
pub(crate) use field_at_receivers::FieldAtReceivers;

use super::bodies::RoomBodies;
use super::boundary::RoomBoundary;
use super::limits::{
    HIGHEST_HZ, LOWEST_HZ, MAX_INVERSE_BYTES, MAX_MODES, MAX_SURFACE_FUNCTIONS, WaveFieldError,
};
use super::modes::{Mode, mode_count, modes_up_to};
use crate::medium::air::Air;
use crate::progress::{Progress, Stage};
use crate::scene::{Room, Scene, Variant};
use factorized::{FactorizedBand, FactorizedSystem};
use frequency_system::{FrequencySystem, Points};
use glam::DVec3;
use num_complex::Complex64;
use rayon::prelude::*;
use std::f64::consts::{LN_10, TAU};
use sub_band::SubBand;

/// Loss as a fraction of the wavenumber, so that G is finite at the resonances of the rigid room, where
/// the explicit sum and the scattered field nearly cancel. A room with a decay time of a second at 50 Hz
/// has 1e-2 by itself; with less than this, the rounding error grows as its inverse square.
const REGULARIZATION_LOSS: f64 = 1e-5;

/// Wave field of a room in one state, prepared for a set of frequencies.
#[derive(Debug)]
pub struct WaveFieldSolver {
    room: Room,
    boundary: RoomBoundary,
    bodies: RoomBodies,
    air: Air,
    hz: Vec<f64>,
    sub_bands: Vec<SubBand>,
}

impl WaveFieldSolver {
    /// Solver for rising frequencies in hertz, within [`LOWEST_HZ`] to [`HIGHEST_HZ`].
    ///
    /// # Errors
    /// Frequencies that do not rise or lie outside, or more than [`MAX_MODES`] modes or
    /// [`MAX_SURFACE_FUNCTIONS`] cosines on the surfaces up to the highest.
    pub fn new(scene: &Scene, variant: &Variant<'_>, hz: &[f64]) -> Result<Self, WaveFieldError> {
        let is_within = hz.iter().all(|hz| (LOWEST_HZ..=HIGHEST_HZ).contains(hz));
        let is_rising = hz.windows(2).all(|pair| pair[0] < pair[1]);
        let Some(&highest_hz) = hz.last().filter(|_| is_within && is_rising) else {
            return Err(WaveFieldError::InvalidFrequencies);
        };
        let modes = mode_count(scene.room(), highest_hz, scene.air().speed_of_sound_m_s());
        if MAX_MODES < modes {
            return Err(WaveFieldError::TooManyModes { modes });
        }
        let functions = Self::surface_functions(scene, highest_hz);
        if MAX_SURFACE_FUNCTIONS < functions {
            return Err(WaveFieldError::TooManySurfaceFunctions { functions });
        }
        Ok(Self::unlimited(scene, variant, hz))
    }

    /// Solver for rising frequencies in hertz, whatever their range.
    pub(crate) fn unlimited(scene: &Scene, variant: &Variant<'_>, hz: &[f64]) -> Self {
        let (room, air) = (*scene.room(), *scene.air());
        let boundary = RoomBoundary::new(scene, variant);
        let bodies = RoomBodies::new(scene, variant);
        let sub_bands = SubBand::covering(&room, &boundary, &bodies, &air, hz);
        Self { room, boundary, bodies, air, hz: hz.to_vec(), sub_bands }
    }

    /// Number of cosines on the surfaces of a scene's room that a frequency in hertz takes.
    pub(crate) fn surface_functions(scene: &Scene, hz: f64) -> usize {
        workload::surface_functions(scene.room(), TAU * hz / scene.air().speed_of_sound_m_s())
    }

    /// Time that one processor takes for all frequencies, seconds; an estimate to a factor of two or
    /// three.
    pub fn predicted_s(&self) -> f64 {
        self.sub_bands.iter().map(SubBand::predicted_s).sum()
    }

    /// The solver, once its work is accepted and its stage has begun.
    ///
    /// # Errors
    /// Work that is not accepted.
    pub(crate) fn announced(&self, progress: &dyn Progress) -> Result<&Self, WaveFieldError> {
        let predicted_s = self.predicted_s();
        if !progress.accepts(predicted_s) {
            return Err(WaveFieldError::TooLong { predicted_s });
        }
        progress.begin(Stage::WaveField, Some(self.hz.len() as u64));
        Ok(self)
    }

    /// Frequencies, hertz.
    pub fn hz(&self) -> &[f64] {
        &self.hz
    }

    /// Pressure of point sources at receivers: for each frequency, for each source, for each
    /// receiver. Relative to the source's own pressure at 1 m in a free field, phase for e^(jωt) and
    /// zero at the source. Points must lie in the room.
    pub fn pressure(&self, sources: &[DVec3], receivers: &[DVec3]) -> Vec<Vec<Vec<Complex64>>> {
        self.field(sources, receivers, &|| ()).into_iter().map(|field| field.pressure).collect()
    }

    /// Solver with the system of every frequency inverted, for many sets of sources in turn. It takes
    /// at most some 3 MB a frequency in a room of 60 m³ at 200 Hz, less where surfaces are condensed.
    ///
    /// # Errors
    /// More memory than a search should take.
    pub fn factorize(&self) -> Result<FactorizedSolver<'_>, WaveFieldError> {
        let bytes: usize = self.sub_bands.iter().map(SubBand::inverse_bytes).sum();
        if MAX_INVERSE_BYTES < bytes {
            return Err(WaveFieldError::TooMuchMemory { megabytes: bytes >> 20 });
        }
        let band = |sub_band| {
            let system = |&hz: &f64| FactorizedSystem::new(self.system(sub_band, hz));
            let some = sub_band.hz.chunks(sub_band.systems_at_a_time());
            let systems = some.flat_map(|hz| hz.par_iter().map(system).collect::<Vec<_>>());
            FactorizedBand { sub_band, systems: systems.collect() }
        };
        Ok(FactorizedSolver(self.sub_bands.iter().map(band).collect()))
    }

    /// Field of sources with a free field of e^(−jkr)/r at receivers, frequency by frequency, for a time
    /// dependence of e^(jωt). `solved` is called after each frequency, from any thread.
    pub(crate) fn field(
        &self,
        sources: &[DVec3],
        receivers: &[DVec3],
        solved: &(dyn Fn() + Sync),
    ) -> Vec<FieldAtReceivers> {
        let counts = [sources.len(), receivers.len()];
        let mut fields: Vec<Vec<FieldAtReceivers>> =
            self.sub_bands.iter().map(|sub_band| sub_band.spaces(counts)).collect();
        let (mut source_layers, mut receiver_layers) = (None, None);
        for (sub_band, fields) in self.sub_bands.iter().zip(&mut fields) {
            source_layers = sub_band.layers_at_points(sources, source_layers);
            receiver_layers = sub_band.layers_at_points(receivers, receiver_layers);
            let layers = source_layers.as_ref().zip(receiver_layers.as_ref());
            let layers = layers.map(|((_, sources), (_, receivers))| [sources, receivers]);
            let remainders = sub_band.remainders(sources, receivers);
            let [sources, receivers] =
                [sources, receivers].map(|points| sub_band.basis_at_points(points));
            let solve = |(&hz, field): (&f64, &mut FieldAtReceivers)| {
                let points = Points { sources: &sources, receivers: &receivers, layers };
                self.system(sub_band, hz).field(&points, &remainders, field);
                solved();
            };
            let at_a_time = sub_band.systems_at_a_time();
            for (hz, fields) in sub_band.hz.chunks(at_a_time).zip(fields.chunks_mut(at_a_time)) {
                hz.par_iter().zip(fields).for_each(solve);
            }
        }
        fields.into_iter().flatten().collect()
    }

    /// Names of the objects in the room that the solution leaves out.
    pub(super) fn neglected(&self) -> &[String] {
        &self.bodies.neglected
    }

    /// Whether a point is inside a solid body, where there is no sound.
    pub(super) fn is_in_a_body(&self, point: DVec3) -> bool {
        self.bodies.contains(point)
    }

    /// Explicit modes at one of the frequencies, hertz.
    pub(super) fn modes_at(&self, hz: f64) -> &[Mode] {
        let holds = |sub_band: &&SubBand| sub_band.hz.contains(&hz);
        self.sub_bands.iter().find(holds).map_or(&[], |sub_band| &sub_band.modes)
    }

    /// Decay time of a mode to −60 dB, seconds, by first-order perturbation at its natural frequency:
    /// `k ≈ k_N + jD_NN/2`, so the energy decays as `e^(−c·Re D_NN·t)`. `None` for the (0,0,0) mode and
    /// without damping.
    pub(super) fn decay_s(&self, mode: &Mode) -> Option<f64> {
        let speed = self.air.speed_of_sound_m_s();
        let hz = mode.hz(speed);
        if hz <= 0.0 {
            return None;
        }
        let of_surfaces = self.boundary.modal_damping(&self.room, mode.n, hz);
        let of_bodies = self.bodies.modal_damping(&self.room, mode, hz);
        let damping = of_surfaces + of_bodies + 2.0 * self.air_nepers_per_m(hz);
        (damping > 0.0).then(|| 6.0 * LN_10 / (speed * damping))
    }

    /// The longest decay time to −60 dB of any mode up to a frequency in hertz, seconds; `None` where none decays.
    pub(crate) fn longest_decay_s(
        scene: &Scene,
        variant: &Variant<'_>,
        highest_hz: f64,
    ) -> Option<f64> {
        let room = Self::unlimited(scene, variant, &[]);
        let highest_per_m = TAU * highest_hz / scene.air().speed_of_sound_m_s();
        let modes = modes_up_to(scene.room(), highest_per_m);
        modes.iter().filter_map(|mode| room.decay_s(mode)).reduce(f64::max)
    }

    fn system<'a>(&self, sub_band: &'a SubBand, hz: f64) -> FrequencySystem<'a> {
        FrequencySystem::new(&self.room, &self.boundary, sub_band, hz, self.wavenumber(hz))
    }

    /// Wavenumber with the attenuation of the air and the regularizing loss, rad/m.
    fn wavenumber(&self, hz: f64) -> Complex64 {
        let real = TAU * hz / self.air.speed_of_sound_m_s();
        Complex64::new(real, -self.air_nepers_per_m(hz) - REGULARIZATION_LOSS * real)
    }

    /// Attenuation of the pressure by the air; 20·lg e decibels are a neper.
    fn air_nepers_per_m(&self, hz: f64) -> f64 {
        if self.air.absorption { self.air.attenuation_db_per_m_at(hz) * LN_10 / 20.0 } else { 0.0 }
    }
}

#[cfg(test)]
mod tests;
