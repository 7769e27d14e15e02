//! Energy of all images of a bare box against time, summed without building a single path.

use super::lattice::image_in_cell;
use crate::bands::{BAND_COUNT, PerBand};
use crate::scene::{Room, Surface};
use glam::DVec3;
use std::ops::Range;

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
    let mut energy = vec![[[0.0; BAND_COUNT]; 2]; plan.bins];
    for y in &ys {
        let mut row = 0..xs.len();
        for z in &zs {
            let aside_m2 = y.offset_m * y.offset_m + z.offset_m * z.offset_m;
            let half_m = (reach_m * reach_m - aside_m2).max(0.0).sqrt();
            row = within(&xs, half_m, row);
            let returned: PerBand<f64> = std::array::from_fn(|b| y.returned[b] * z.returned[b]);
            add_row(&xs[row.clone()], aside_m2, &returned, bins_per_m, &mut energy);
        }
    }
    energy.iter().map(|[one, other]| std::array::from_fn(|b| one[b] + other[b])).collect()
}

/// The columns less than `half_m` off, found by moving the ends of a neighbouring row's range.
fn within(columns: &[Column], half_m: f64, near: Range<usize>) -> Range<usize> {
    let Range { mut start, mut end } = near;
    while start > 0 && columns[start - 1].offset_m > -half_m {
        start -= 1;
    }
    while start < columns.len() && columns[start].offset_m <= -half_m {
        start += 1;
    }
    while end < columns.len() && columns[end].offset_m < half_m {
        end += 1;
    }
    while end > start && columns[end - 1].offset_m >= half_m {
        end -= 1;
    }
    start..end.max(start)
}

/// Adds one row of images along x.
///
/// Distances first, in a loop of their own over a few images at a time: there the compiler works
/// on several images at once. Neighbours in a row often fall into the same bin, and each sum would
/// wait for the one before; so every bin has two sums, taken in turn.
fn add_row(
    row: &[Column],
    aside_m2: f64,
    returned: &PerBand<f64>,
    bins_per_m: f64,
    energy: &mut [[PerBand<f64>; 2]],
) {
    const SEVERAL: usize = 16;
    for few in row.chunks(SEVERAL) {
        let mut bin_at = [0.0; SEVERAL];
        let mut spread = [0.0; SEVERAL];
        for ((x, bin_at), spread) in few.iter().zip(&mut bin_at).zip(&mut spread) {
            let distance_m2 = x.offset_m * x.offset_m + aside_m2;
            *bin_at = distance_m2.sqrt() * bins_per_m;
            *spread = 1.0 / distance_m2;
        }
        for (turn, ((x, bin_at), spread)) in few.iter().zip(bin_at).zip(spread).enumerate() {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "positive and small"
            )]
            let bin = bin_at as u32 as usize;
            if let Some(sums) = energy.get_mut(bin) {
                let bin = &mut sums[turn % 2];
                for band in 0..BAND_COUNT {
                    bin[band] += x.returned[band] * (returned[band] * spread);
                }
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
