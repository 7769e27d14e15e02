//! Energy of all images of a bare box against time, summed without building a single path.

use super::lattice::image_in_cell;
use crate::bands::{BAND_COUNT, PerBand};
use crate::scene::{Room, Surface};
use glam::DVec3;

/// What to sum.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyPlan {
    /// Share of energy each surface returns at any angle, in the order of [`Surface::ALL`].
    pub returned: [PerBand<f64>; 6],
    /// Speed of sound in metres a second.
    pub speed_of_sound_m_s: f64,
    /// Width of a time bin in seconds.
    pub bin_s: f64,
    /// Number of bins, from emission on.
    pub bins: usize,
}

/// Energy arriving in each time bin from an omnidirectional speaker, relative to its own at 1 m,
/// direct sound included and without air attenuation: Σ 1/d² · Π returned (Allen & Berkley 1979,
/// with the energy of each image added).
///
/// Images stand on a lattice, so the share returned by the surfaces is a product of three factors,
/// one for each axis, and the innermost loop runs along x with nothing but products.
pub fn box_energy(
    room: &Room,
    speaker: DVec3,
    listener: DVec3,
    plan: &EnergyPlan,
) -> Vec<PerBand<f64>> {
    let reach_m = plan.bins as f64 * plan.bin_s * plan.speed_of_sound_m_s;
    let axis = |axis: usize| {
        let walls = [&plan.returned[2 * axis], &plan.returned[2 * axis + 1]];
        columns(room.size()[axis], speaker[axis], listener[axis], walls, reach_m)
    };
    let (xs, ys, zs) = (axis(0), axis(1), axis(2));
    let bins_per_m = 1.0 / (plan.bin_s * plan.speed_of_sound_m_s);
    let mut energy = vec![[0.0; BAND_COUNT]; plan.bins];
    for y in &ys {
        for z in &zs {
            let aside_m2 = y.offset_m * y.offset_m + z.offset_m * z.offset_m;
            let left_m2 = reach_m * reach_m - aside_m2;
            if left_m2 <= 0.0 {
                continue;
            }
            let returned: PerBand<f64> = std::array::from_fn(|b| y.returned[b] * z.returned[b]);
            let half = left_m2.sqrt();
            let first = xs.partition_point(|x| x.offset_m <= -half);
            let last = xs.partition_point(|x| x.offset_m < half);
            add_row(&xs[first..last], aside_m2, &returned, bins_per_m, &mut energy);
        }
    }
    energy
}

/// Adds one row of images along x.
fn add_row(
    row: &[Column],
    aside_m2: f64,
    returned: &PerBand<f64>,
    bins_per_m: f64,
    energy: &mut [PerBand<f64>],
) {
    for x in row {
        let distance_m2 = x.offset_m * x.offset_m + aside_m2;
        let spread = 1.0 / distance_m2;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "positive and small"
        )]
        let bin = (distance_m2.sqrt() * bins_per_m) as usize;
        if let Some(bin) = energy.get_mut(bin) {
            for band in 0..BAND_COUNT {
                bin[band] += x.returned[band] * returned[band] * spread;
            }
        }
    }
}

/// One cell of an axis: how far the image is off along it, and what its bounces return.
struct Column {
    offset_m: f64,
    returned: PerBand<f64>,
}

/// The cells of an axis within reach, in rising offset. `walls` are the near and the far one.
fn columns(
    size: f64,
    source: f64,
    receiver: f64,
    walls: [&PerBand<f64>; 2],
    reach_m: f64,
) -> Vec<Column> {
    let cell = |cell: i32| {
        // |n| bounces alternate between the walls, beginning (seen from the listener) with the far
        // wall for positive cells and the near wall for negative ones.
        let (more, fewer) = ((cell.abs() + 1) / 2, cell.abs() / 2);
        let (near, far) = if cell > 0 { (fewer, more) } else { (more, fewer) };
        let returned = std::array::from_fn(|b| walls[0][b].powi(near) * walls[1][b].powi(far));
        Column { offset_m: image_in_cell(size, source, cell) - receiver, returned }
    };
    #[expect(clippy::cast_possible_truncation, reason = "a reach of a billion rooms is refused")]
    let last = (reach_m / size).clamp(0.0, 1e9) as i32 + 2;
    (-last..=last).map(cell).filter(|column| column.offset_m.abs() < reach_m).collect()
}

/// Share of energy returned by surfaces of given random-incidence absorption, per band.
impl EnergyPlan {
    /// Surfaces that return 1 − α at every angle.
    pub fn from_absorption(
        absorption: [PerBand<f64>; 6],
        speed_of_sound_m_s: f64,
        bin_s: f64,
        bins: usize,
    ) -> Self {
        debug_assert_eq!(absorption.len(), Surface::ALL.len());
        let returned = absorption.map(|bands| bands.map(|alpha| 1.0 - alpha));
        Self { returned, speed_of_sound_m_s, bin_s, bins }
    }
}
