//! The level of one frequency over a plane of the room.

use super::response::BassError;
use super::sounding::{even, level_db, places, together};
use super::waves::Waves;
use crate::scene::{Scene, State};
use glam::DVec3;

/// A plane through the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Plane {
    /// From above, at a height over the floor in metres.
    Plan {
        /// The height.
        height_m: f64,
    },
    /// From the side, at a distance from the left wall in metres.
    Section {
        /// The distance.
        left_m: f64,
    },
}

/// The level over a plane.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureMap {
    /// The frequency, hertz.
    pub hz: f64,
    /// The plane.
    pub plane: Plane,
    /// Distances from the front wall, metres, from wall to wall.
    pub x_m: Vec<f64>,
    /// Distances from the left wall (plan) or heights (section), metres, likewise.
    pub other_m: Vec<f64>,
    /// For each of `x_m`, each of `other_m`: level of all speakers together relative to one speaker's own
    /// at 1 m in the open, decibels.
    pub level_db: Vec<Vec<f64>>,
}

impl Plane {
    /// A place on it, by its distance from the front wall and its other coordinate.
    pub fn at(self, x_m: f64, other_m: f64) -> DVec3 {
        match self {
            Self::Plan { height_m } => DVec3::new(x_m, other_m, height_m),
            Self::Section { left_m } => DVec3::new(x_m, left_m, other_m),
        }
    }
}

/// The level of speakers that sound alike, at one frequency in hertz over a plane, at places no farther
/// apart than a step in metres, walls included.
///
/// # Errors
/// No such speaker, a plane outside the room, or a frequency that is not solved for.
pub fn pressure_map(
    scene: &Scene,
    state: &State<'_>,
    speakers: &[usize],
    hz: f64,
    plane: Plane,
    step_m: f64,
) -> Result<PressureMap, BassError> {
    let sources = places(scene, speakers)?;
    let size = scene.room().size();
    let (depth_m, most_m, wide_m) = match plane {
        Plane::Plan { height_m } => (height_m, size.z, size.y),
        Plane::Section { left_m } => (left_m, size.y, size.z),
    };
    if !(0.0..=most_m).contains(&depth_m) {
        return Err(BassError::NoSuchPlace);
    }
    let waves = Waves::new(scene, state, &[hz])?;
    let (x_m, other_m) = (even(0.0, size.x, step_m), even(0.0, wide_m, step_m));
    let receivers: Vec<DVec3> =
        x_m.iter().flat_map(|&x| other_m.iter().map(move |&other| plane.at(x, other))).collect();
    let pressure = together(&waves, &sources, &receivers);
    let levels: Vec<f64> = pressure.into_iter().flatten().map(level_db).collect();
    let level_db = levels.chunks(other_m.len()).map(<[f64]>::to_vec).collect();
    Ok(PressureMap { hz, plane, x_m, other_m, level_db })
}
