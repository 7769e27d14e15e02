//! Energy of all images of a bare box against time, summed without building a single path.

use super::lattice::image_in_cell;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::scene::{Room, Surface};
use glam::DVec3;
use std::ops::Range;

/// Parameters of the sum over the images of a box.
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
/// one for each axis, and the innermost loop runs along a row with nothing but products.
pub fn box_energy(
    room: &Room,
    speaker: DVec3,
    listener: DVec3,
    plan: &EnergyPlan,
) -> Vec<PerBand<f64>> {
    let reach_m = plan.bins as f64 * plan.bin_s * plan.speed_of_sound_m_s;
    let mut axes = [0, 1, 2].map(|axis| {
        let walls = [&plan.returned[2 * axis], &plan.returned[2 * axis + 1]];
        columns(room.size()[axis], speaker[axis], listener[axis], walls, reach_m)
    });
    // Rows run along the shortest side of the room, where they hold the most images.
    axes.sort_by_key(Vec::len);
    let [few, more, most] = &axes;
    let mut rows = ImageRows {
        columns: most,
        offset_m: most.iter().map(|column| column.offset_m).collect(),
        bins_per_m: 1.0 / (plan.bin_s * plan.speed_of_sound_m_s),
        bin: vec![0; most.len()],
        spread: vec![0.0; most.len()],
        energy: vec![[0.0; BAND_COUNT]; plan.bins],
    };
    for y in more {
        let mut row = 0..most.len();
        for x in few {
            let aside_m2 = x.offset_m * x.offset_m + y.offset_m * y.offset_m;
            let half_m = (reach_m * reach_m - aside_m2).max(0.0).sqrt();
            row = within(most, half_m, row);
            let returned = std::array::from_fn(|b| x.returned[b] * y.returned[b]);
            rows.add(row.clone(), aside_m2, &returned);
        }
    }
    rows.energy
}

/// The columns less than `half_m` off, found by moving the ends of a neighbouring row's range.
fn within(columns: &[ImageColumn], half_m: f64, near: Range<usize>) -> Range<usize> {
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

/// Rows of images and what they have added up to.
struct ImageRows<'a> {
    columns: &'a [ImageColumn],
    /// The columns' offsets side by side, as the distances want them.
    offset_m: Vec<f64>,
    bins_per_m: f64,
    /// Time bin and 1/d² of each image of the row at hand.
    bin: Vec<i32>,
    spread: Vec<f64>,
    energy: Vec<PerBand<f64>>,
}

impl ImageRows<'_> {
    /// Adds one row. Distances first, in a loop of their own: there the compiler works on several
    /// images at once.
    fn add(&mut self, row: Range<usize>, aside_m2: f64, returned: &PerBand<f64>) {
        // Plain slices: what they point at is then known not to move while it is written.
        let images = row.len();
        let columns = &self.columns[row.clone()];
        let (bins, spreads) = (&mut self.bin[..images], &mut self.spread[..images]);
        let energy = self.energy.as_mut_slice();
        let bins_per_m = self.bins_per_m;
        let ahead = self.offset_m[row].iter().zip(&mut *bins).zip(&mut *spreads);
        for ((offset_m, bin), spread) in ahead {
            let distance_m2 = offset_m * offset_m + aside_m2;
            #[expect(clippy::cast_possible_truncation, reason = "bins are few")]
            let at = (distance_m2.sqrt() * bins_per_m) as i32;
            *bin = at;
            *spread = 1.0 / distance_m2;
        }
        for ((column, &bin), &spread) in columns.iter().zip(&*bins).zip(&*spreads) {
            // Rounding may put an image that is just within reach one bin past the last.
            if let Some(sums) = usize::try_from(bin).ok().and_then(|bin| energy.get_mut(bin)) {
                for band in 0..BAND_COUNT {
                    sums[band] += column.returned[band] * (returned[band] * spread);
                }
            }
        }
    }
}

/// One cell of an axis: how far the image is off along it, and what its bounces return.
struct ImageColumn {
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
) -> Vec<ImageColumn> {
    let column = |cell: i32, returned: PerBand<f64>| ImageColumn {
        offset_m: image_in_cell(size, source, cell) - receiver,
        returned,
    };
    #[expect(clippy::cast_possible_truncation, reason = "a reach of a billion rooms is refused")]
    let last = (reach_m / size).clamp(0.0, 1e9) as i32 + 2;
    // Bounces alternate between the walls, beginning (seen from the listener) with the far wall
    // for positive cells and the near wall for negative ones.
    let side = |sign: i32, first: &PerBand<f64>, second: &PerBand<f64>| {
        let mut returned = [1.0; BAND_COUNT];
        let mut side = Vec::new();
        for n in 1..=last {
            let wall = if n % 2 == 1 { first } else { second };
            returned = std::array::from_fn(|b| returned[b] * wall[b]);
            side.push(column(sign * n, returned));
        }
        side
    };
    let [near, far] = walls;
    let mut columns = side(-1, near, far);
    columns.reverse();
    columns.push(column(0, [1.0; BAND_COUNT]));
    columns.extend(side(1, far, near));
    columns.retain(|column| column.offset_m.abs() < reach_m);
    columns
}

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
