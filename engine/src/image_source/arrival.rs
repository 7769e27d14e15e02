//! A specular arrival: its path, direction, pressure and energy.

use crate::geometry::FaceId;
use crate::medium::bands::{EARLY_BANDS, PerBand, energy_db};
use glam::DVec3;
use num_complex::Complex64;

/// A reflection point of an arrival.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounce {
    /// The face it is on.
    pub face: FaceId,
    /// The panel it lies on, by its index in [`crate::scene::Scene::panels`].
    pub panel: Option<usize>,
    /// Position, metres.
    pub point: DVec3,
    /// Cosine of the angle of incidence.
    pub cos_incidence: f64,
    /// Distance of the mirror point outside the face, metres: 0 when it is on it, as it always is on
    /// a surface of the room. Outside it, `point` is the nearest point of the face.
    pub outside_m: f64,
}

/// An arrival over a specular path from a speaker to a listener. Without bounces: the direct sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrival {
    /// Reflection points, from speaker to listener.
    pub bounces: Vec<Bounce>,
    /// Length of the whole path in metres.
    pub distance_m: f64,
    /// Direction of departure from the speaker, a unit vector.
    pub departure: DVec3,
    /// Direction of arrival as seen from the listener, a unit vector toward the last bounce.
    pub arrival_direction: DVec3,
    /// Pressure at each frequency of the inner grid, relative to the speaker's own at 1 m on axis
    /// in a free field: spreading, directivity and reflections, without the phase of travel and
    /// without air attenuation.
    pub pressure: Vec<Complex64>,
    /// Energy transmittance of the air over the path, per band.
    pub air_energy: PerBand<f64>,
    /// Energy in each band, relative to the speaker's own at 1 m on axis in a free field,
    /// air attenuation included.
    pub band_energy: PerBand<f64>,
}

impl Arrival {
    /// Number of bounces.
    pub fn order(&self) -> usize {
        self.bounces.len()
    }

    /// Whether it is within 60 dB of another arrival in any band.
    pub fn is_significant(&self, other: &Self) -> bool {
        self.band_energy.iter().zip(other.band_energy).any(|(&mine, other)| mine > 1e-6 * other)
    }

    /// Level over 1–8 kHz relative to another arrival, decibels, for a source with equal energy in
    /// every octave.
    pub fn level_db(&self, reference: &Self) -> f64 {
        let energy = |arrival: &Self| arrival.band_energy[EARLY_BANDS].iter().sum::<f64>();
        energy_db(energy(self) / energy(reference))
    }

    /// Level in each band relative to another arrival, decibels.
    pub fn band_level_db(&self, reference: &Self) -> PerBand<f64> {
        std::array::from_fn(|b| energy_db(self.band_energy[b] / reference.band_energy[b]))
    }
}
