//! Level of one frequency over a plane of the room.

use super::grid::evenly_spaced_m;
use super::level::level_db;
use super::sources::{coherent_pressure, speaker_sources};
use crate::scene::{Scene, SpeakerId, Variant};
use crate::wave_field::limits::WaveFieldError;
use crate::wave_field::solver::WaveFieldSolver;
use glam::DVec3;
use num_complex::Complex64;

/// Plane through the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MapPlane {
    /// Horizontal plane.
    Plan {
        /// Height above the floor, metres.
        height_m: f64,
    },
    /// Vertical plane along the room.
    Section {
        /// Distance from the left wall, metres.
        left_m: f64,
    },
}

/// Level over a plane.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureMap {
    /// Frequency, hertz.
    pub hz: f64,
    /// Plane.
    pub plane: MapPlane,
    /// Distances from the front wall, from wall to wall, metres.
    pub x_m: Vec<f64>,
    /// Distances from the left wall (plan) or heights (section), from wall to wall, metres.
    pub ordinate_m: Vec<f64>,
    /// For each of `x_m`, each of `ordinate_m`: level of the coherent sum of all speakers re one speaker's
    /// own at 1 m in a free field, decibels.
    pub level_db: Vec<Vec<f64>>,
}

impl MapPlane {
    /// Point of the plane by its distance from the front wall and its ordinate, metres.
    pub fn at(self, x_m: f64, ordinate_m: f64) -> DVec3 {
        match self {
            Self::Plan { height_m } => DVec3::new(x_m, ordinate_m, height_m),
            Self::Section { left_m } => DVec3::new(x_m, left_m, ordinate_m),
        }
    }
}

/// Maps the level of the coherent sum of speakers at one frequency in hertz. The field is solved for on
/// a grid with a spacing of at most `step_m`, walls included, which interpolation of the pressure
/// refines twofold: the pressure is smooth where its level is not.
///
/// # Errors
/// A speaker that the scene does not have, a plane outside the room, and as [`WaveFieldSolver::new`].
pub fn pressure_map(
    scene: &Scene,
    variant: &Variant<'_>,
    speakers: &[SpeakerId],
    hz: f64,
    plane: MapPlane,
    step_m: f64,
) -> Result<PressureMap, WaveFieldError> {
    let sources = speaker_sources(scene, speakers)?;
    let size = scene.room().size();
    let (offset_m, limit_m, extent_m) = match plane {
        MapPlane::Plan { height_m } => (height_m, size.z, size.y),
        MapPlane::Section { left_m } => (left_m, size.y, size.z),
    };
    if !(0.0..=limit_m).contains(&offset_m) {
        return Err(WaveFieldError::UnknownPosition);
    }
    let solver = WaveFieldSolver::new(scene, variant, &[hz])?;
    let x_m = evenly_spaced_m(0.0, size.x, step_m);
    let ordinate_m = evenly_spaced_m(0.0, extent_m, step_m);
    let receivers: Vec<DVec3> = x_m
        .iter()
        .flat_map(|&x| ordinate_m.iter().map(move |&ordinate| plane.at(x, ordinate)))
        .collect();
    let pressure = coherent_pressure(&solver, &sources, &receivers);
    let solved: Vec<Complex64> = pressure.into_iter().flatten().collect();
    let rows: Vec<Vec<Complex64>> = solved.chunks(ordinate_m.len()).map(refined).collect();
    let columns: Vec<Vec<Complex64>> = (0..rows.first().map_or(0, Vec::len))
        .map(|column| refined(&rows.iter().map(|row| row[column]).collect::<Vec<_>>()))
        .collect();
    let (x_m, ordinate_m) = (with_midpoints(&x_m), with_midpoints(&ordinate_m));
    let level_db = (0..x_m.len())
        .map(|row| columns.iter().map(|column| level_db(column[row])).collect())
        .collect();
    Ok(PressureMap { hz, plane, x_m, ordinate_m, level_db })
}

/// Coordinates with the midpoints between neighbours.
fn with_midpoints(coordinates_m: &[f64]) -> Vec<f64> {
    let after = |pair: &[f64]| [0.5 * (pair[0] + pair[1]), pair[1]];
    coordinates_m.iter().take(1).copied().chain(coordinates_m.windows(2).flat_map(after)).collect()
}

/// Values with those of the cubic through four neighbours at the midpoints, (−1, 9, 9, −1)/16
/// (Lagrange's formula). Beyond a wall the pressure continues as its mirror image, for its normal
/// gradient there is small.
fn refined(values: &[Complex64]) -> Vec<Complex64> {
    let last = values.len().saturating_sub(1);
    let midpoint = |i: usize| {
        let before = values[if i == 0 { 1 } else { i - 1 }];
        let after = values[if i + 1 == last { last - 1 } else { i + 2 }];
        (9.0 * (values[i] + values[i + 1]) - before - after) / 16.0
    };
    let pairs = (0..last).flat_map(|i| [midpoint(i), values[i + 1]]);
    values.iter().take(1).copied().chain(pairs).collect()
}

#[cfg(test)]
mod tests {
    use super::{Complex64, refined, with_midpoints};

    /// A cosine between rigid walls is its own mirror image there; at six steps to the half wavelength
    /// the cubic is off by (π/6)⁴·3/128 = 0.2 % at most.
    #[test]
    fn midpoints_lie_on_a_smooth_curve() {
        let x: Vec<f64> = (0..=12).map(f64::from).collect();
        let cosine = |x: f64| Complex64::from((std::f64::consts::PI * x / 6.0).cos());
        let values: Vec<Complex64> = x.iter().map(|&x| cosine(x)).collect();
        let (x, values) = (with_midpoints(&x), refined(&values));
        assert_eq!((x.len(), values.len()), (25, 25));
        for (x, value) in x.iter().zip(values) {
            assert!((value - cosine(*x)).norm() < 0.002, "{x}: {value}");
        }
        assert_eq!(refined(&[Complex64::I]), [Complex64::I]);
    }
}
