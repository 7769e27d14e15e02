//! Where the energy is at chosen moments, looked at from above.

use super::path_packet::PathPacket;
use super::reflectance::to_f32;
use super::trace_rays::{RayCount, RayPlan, Source, TraceTotals, trace_context};
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::medium::directivity::Radiator;
use crate::scene::{Scene, Variant};

/// Which moments to look at, and how finely.
#[derive(Debug, Clone, PartialEq)]
pub struct FramePlan {
    /// Times after emission, seconds, in rising order.
    pub times_s: Vec<f64>,
    /// How long each moment lasts, seconds: sound runs 0.34 m in a millisecond.
    pub exposure_s: f64,
    /// Cells along the room's length and across its width.
    pub cells: [usize; 2],
}

/// Energy over the floor at some moments.
#[derive(Debug, Clone, PartialEq)]
pub struct DensityFrames {
    /// What was asked.
    pub plan: FramePlan,
    /// For each moment, for each cell (row after row along the length, each across the width from
    /// the left): energy per volume between floor and ceiling, relative to what the speaker sent out
    /// if it were spread evenly over the room with nothing lost.
    pub density: Vec<Vec<PerBand<f64>>>,
}

/// Follows so many rays from a speaker, by its index in the scene, and looks where their energy is.
pub fn density_frames(
    scene: &Scene,
    variant: &Variant<'_>,
    speaker: usize,
    moments: &FramePlan,
    rays: u64,
    seed: u64,
) -> DensityFrames {
    let enclosure = &Enclosure::new(scene, variant);
    let speaker = &scene.speakers()[speaker];
    let radiator = Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
    let source = Source { at: speaker.at, axis: speaker.axis, radiator: &radiator };
    let last_s = moments.times_s.iter().copied().fold(0.0, f64::max) + moments.exposure_s;
    let count = RayCount::Fixed(rays);
    let plan = RayPlan { count, seed, length_s: last_s, bin_s: last_s, floor_db: -65.0 };
    let mut context = trace_context(scene, enclosure, source, &[], &plan);
    let speed = enclosure.speed_of_sound_m_s();
    context.frames =
        Some(FrameRecorder::new(moments, scene.room().size().truncate().to_array(), speed));
    let mut totals = TraceTotals::new(&context);
    totals.refine(&context, seed, rays, &|_| {});
    let cells = (moments.cells[0] * moments.cells[1]) as f64;
    let exposure_m = moments.exposure_s * speed;
    let emitted = totals.emitted();
    let share = |metres: &PerBand<f64>| {
        std::array::from_fn(|band| {
            let out = emitted[band] * exposure_m;
            if out > 0.0 { metres[band] * cells / out } else { 0.0 }
        })
    };
    let each = (moments.cells[0] * moments.cells[1]).max(1);
    let density =
        totals.frames().chunks(each).map(|cells| cells.iter().map(share).collect()).collect();
    DensityFrames { plan: moments.clone(), density }
}

/// What energy falls on while rays run over it.
#[derive(Debug)]
pub(super) struct FrameRecorder {
    /// Metres run from the speaker at the beginning and end of each moment.
    frames_m: Vec<[f32; 2]>,
    cells: [usize; 2],
    /// Length and width of a cell, metres.
    cell_m: [f32; 2],
}

impl FrameRecorder {
    fn new(moments: &FramePlan, size_m: [f64; 2], speed: f64) -> Self {
        let half_s = moments.exposure_s / 2.0;
        let span = |time_s: &f64| [time_s - half_s, time_s + half_s].map(|s| to_f32(s * speed));
        Self {
            frames_m: moments.times_s.iter().map(span).collect(),
            cells: moments.cells,
            cell_m: [0, 1].map(|axis| to_f32(size_m[axis] / moments.cells[axis] as f64)),
        }
    }

    /// A film that nothing has fallen on.
    pub(super) fn zeros(&self) -> Vec<PerBand<f64>> {
        vec![[0.0; BAND_COUNT]; self.frames_m.len() * self.cells[0] * self.cells[1]]
    }

    /// Adds energy times length run in each cell, for the flight that every ray of a packet is about
    /// to take, before the air has taken its part of it.
    #[inline(never)]
    pub(super) fn record(&self, packet: &PathPacket, exposed: &mut [PerBand<f64>]) {
        for i in 0..packet.live {
            let begin_m = packet.path_m[i];
            let end_m = begin_m + packet.hit_t[i];
            let each = self.cells[0] * self.cells[1];
            for (moment, [from_m, to_m]) in self.frames_m.iter().enumerate() {
                let (from_m, to_m) = (from_m.max(begin_m) - begin_m, to_m.min(end_m) - begin_m);
                if from_m < to_m {
                    let dir = [packet.dir[0][i], packet.dir[1][i]];
                    let at = [0, 1].map(|axis| packet.origin[axis][i] + dir[axis] * from_m);
                    self.cross(at, dir, to_m - from_m, |cell, length_m| {
                        let sums = &mut exposed[moment * each + cell];
                        for (sum, energy) in sums.iter_mut().zip(packet.energy[i]) {
                            *sum += f64::from(energy * length_m);
                        }
                    });
                }
            }
        }
    }

    /// Calls `add` with every cell that a piece of a ray crosses, and how far it runs there: from
    /// edge to edge, whichever comes next (Amanatides and Woo 1987, from memory).
    #[expect(clippy::cast_sign_loss, reason = "rays stay in the room")]
    fn cross(&self, at: [f32; 2], dir: [f32; 2], length_m: f32, mut add: impl FnMut(usize, f32)) {
        let last = self.cells.map(|cells| cells - 1);
        let mut cell =
            [0, 1].map(|axis| ((at[axis] / self.cell_m[axis]).max(0.0) as usize).min(last[axis]));
        let mut edge_m: [f32; 2] = std::array::from_fn(|axis| {
            let edge = if dir[axis] > 0.0 { cell[axis] + 1 } else { cell[axis] };
            ((edge as f32 * self.cell_m[axis] - at[axis]) / dir[axis]).max(0.0)
        });
        let mut path_m = 0.0;
        loop {
            let axis = usize::from(edge_m[1] < edge_m[0]);
            let next_m = edge_m[axis].min(length_m);
            add(cell[0] * self.cells[1] + cell[1], next_m - path_m);
            if edge_m[axis] >= length_m {
                return;
            }
            path_m = next_m;
            edge_m[axis] += self.cell_m[axis] / dir[axis].abs();
            // Past the last cell there is only what rounding leaves of the way to the wall.
            cell[axis] = if dir[axis] > 0.0 {
                (cell[axis] + 1).min(last[axis])
            } else {
                cell[axis].saturating_sub(1)
            };
        }
    }
}
