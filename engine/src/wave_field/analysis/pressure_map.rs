//! The level of one frequency over a plane of the room.

use crate::scene::{Scene, Variant};
use crate::wave_field::analysis::WaveFieldError;
use crate::wave_field::analysis::sources::{even, level_db, places, together};
use crate::wave_field::wave_field_solver::WaveFieldSolver;
use glam::DVec3;
use num_complex::Complex64;

/// A plane through the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MapPlane {
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
    pub plane: MapPlane,
    /// Distances from the front wall, metres, from wall to wall.
    pub x_m: Vec<f64>,
    /// Distances from the left wall (plan) or heights (section), metres, likewise.
    pub ordinate_m: Vec<f64>,
    /// For each of `x_m`, each of `ordinate_m`: level of all speakers together relative to one speaker's own
    /// at 1 m in the open, decibels.
    pub level_db: Vec<Vec<f64>>,
}

impl MapPlane {
    /// A place on it, by its distance from the front wall and its other coordinate.
    pub fn at(self, x_m: f64, ordinate_m: f64) -> DVec3 {
        match self {
            Self::Plan { height_m } => DVec3::new(x_m, ordinate_m, height_m),
            Self::Section { left_m } => DVec3::new(x_m, left_m, ordinate_m),
        }
    }
}

/// The level of speakers that sound alike, at one frequency in hertz over a plane, at places no farther
/// apart than a step in metres, walls included; between these one more each way, by cubics through the
/// pressure, which is smooth where its level is not.
///
/// # Errors
/// No such speaker, a plane outside the room, or a frequency that is not solved for.
pub fn pressure_map(
    scene: &Scene,
    variant: &Variant<'_>,
    speakers: &[usize],
    hz: f64,
    plane: MapPlane,
    step_m: f64,
) -> Result<PressureMap, WaveFieldError> {
    let sources = places(scene, speakers)?;
    let size = scene.room().size();
    let (depth_m, most_m, wide_m) = match plane {
        MapPlane::Plan { height_m } => (height_m, size.z, size.y),
        MapPlane::Section { left_m } => (left_m, size.y, size.z),
    };
    if !(0.0..=most_m).contains(&depth_m) {
        return Err(WaveFieldError::UnknownPosition);
    }
    let waves = WaveFieldSolver::new(scene, variant, &[hz])?;
    let (x_m, ordinate_m) = (even(0.0, size.x, step_m), even(0.0, wide_m, step_m));
    let receivers: Vec<DVec3> =
        x_m.iter().flat_map(|&x| ordinate_m.iter().map(move |&other| plane.at(x, other))).collect();
    let pressure = together(&waves, &sources, &receivers);
    let solved: Vec<Complex64> = pressure.into_iter().flatten().collect();
    let rows: Vec<Vec<Complex64>> = solved.chunks(ordinate_m.len()).map(finer).collect();
    let columns: Vec<Vec<Complex64>> = (0..rows.first().map_or(0, Vec::len))
        .map(|column| finer(&rows.iter().map(|row| row[column]).collect::<Vec<_>>()))
        .collect();
    let (x_m, ordinate_m) = (halved(&x_m), halved(&ordinate_m));
    let level_db = (0..x_m.len())
        .map(|row| columns.iter().map(|column| level_db(column[row])).collect())
        .collect();
    Ok(PressureMap { hz, plane, x_m, ordinate_m, level_db })
}

/// With the middles between neighbours.
fn halved(places_m: &[f64]) -> Vec<f64> {
    let after = |pair: &[f64]| [0.5 * (pair[0] + pair[1]), pair[1]];
    places_m.iter().take(1).copied().chain(places_m.windows(2).flat_map(after)).collect()
}

/// With the value of the cubic through four neighbours in the middle between two: (−1, 9, 9, −1)/16
/// (Lagrange's formula). Before a wall the pressure goes on as its mirror image, for its slope there is
/// small.
fn finer(values: &[Complex64]) -> Vec<Complex64> {
    let last = values.len().saturating_sub(1);
    let middle = |i: usize| {
        let before = values[if i == 0 { 1 } else { i - 1 }];
        let after = values[if i + 1 == last { last - 1 } else { i + 2 }];
        (9.0 * (values[i] + values[i + 1]) - before - after) / 16.0
    };
    let pairs = (0..last).flat_map(|i| [middle(i), values[i + 1]]);
    values.iter().take(1).copied().chain(pairs).collect()
}

#[cfg(test)]
mod tests {
    use super::{Complex64, finer, halved};

    /// A cosine between hard walls is its own mirror image there; at six steps to the half wave the
    /// cubic is off by (π/6)⁴·3/128 = 0.2 % at most.
    #[test]
    fn middles_lie_on_a_smooth_curve() {
        let places: Vec<f64> = (0..=12).map(f64::from).collect();
        let cosine = |at: f64| Complex64::from((std::f64::consts::PI * at / 6.0).cos());
        let values: Vec<Complex64> = places.iter().map(|&at| cosine(at)).collect();
        let (places, values) = (halved(&places), finer(&values));
        assert_eq!((places.len(), values.len()), (25, 25));
        for (at, value) in places.iter().zip(values) {
            assert!((value - cosine(*at)).norm() < 0.002, "{at}: {value}");
        }
        assert_eq!(finer(&[Complex64::I]), [Complex64::I]);
    }
}
