//! Recording of energy-density frames while rays run over the floor.

use super::path_packet::PathPacket;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::numerics::single_precision::to_f32;

/// Times and resolution of energy-density frames.
#[derive(Debug, Clone, PartialEq)]
pub struct FramePlan {
    /// Times after emission, seconds, in rising order.
    pub times_s: Vec<f64>,
    /// Duration of a frame, seconds: sound travels 0.34 m in a millisecond.
    pub exposure_s: f64,
    /// Cells along the room's length and across its width.
    pub cells: [usize; 2],
}

/// Frames as intervals of path length over a grid of cells.
#[derive(Debug)]
pub(super) struct FrameRecorder {
    /// Path lengths at the beginning and end of each frame, metres.
    frames_m: Vec<[f32; 2]>,
    cells: [usize; 2],
    /// Length and width of a cell, metres.
    cell_m: [f32; 2],
}

impl FrameRecorder {
    /// Over a floor of a given length and width, metres; speed of sound in metres a second.
    pub(super) fn new(plan: &FramePlan, size_m: [f64; 2], speed: f64) -> Self {
        let half_s = plan.exposure_s / 2.0;
        let frame = |time_s: &f64| [time_s - half_s, time_s + half_s].map(|s| to_f32(s * speed));
        Self {
            frames_m: plan.times_s.iter().map(frame).collect(),
            cells: plan.cells,
            cell_m: [0, 1].map(|axis| to_f32(size_m[axis] / plan.cells[axis] as f64)),
        }
    }

    /// Cells of all frames without energy.
    pub(super) fn zeros(&self) -> Vec<PerBand<f64>> {
        vec![[0.0; BAND_COUNT]; self.frames_m.len() * self.cells[0] * self.cells[1]]
    }

    /// Adds energy times length in each cell, for the segment ahead of every ray of a packet, before the
    /// air has absorbed its share of it.
    #[inline(never)]
    pub(super) fn record(&self, packet: &PathPacket, frames: &mut [PerBand<f64>]) {
        let rays = &packet.rays;
        let cells_per_frame = self.cells[0] * self.cells[1];
        for i in 0..rays.live {
            let begin_m = packet.path_m[i];
            let end_m = begin_m + rays.hit_t[i];
            for (frame, [from_m, to_m]) in self.frames_m.iter().enumerate() {
                let (from_m, to_m) = (from_m.max(begin_m) - begin_m, to_m.min(end_m) - begin_m);
                if from_m < to_m {
                    let dir = [rays.dir[0][i], rays.dir[1][i]];
                    let origin = [0, 1].map(|axis| rays.origin[axis][i] + dir[axis] * from_m);
                    self.for_each_cell(origin, dir, to_m - from_m, |cell, length_m| {
                        let sums = &mut frames[frame * cells_per_frame + cell];
                        for (sum, energy) in sums.iter_mut().zip(packet.energy[i]) {
                            *sum += f64::from(energy * length_m);
                        }
                    });
                }
            }
        }
    }

    /// Calls `add` with every cell that a piece of a ray crosses and its length there: from edge to
    /// edge, whichever comes next (Amanatides and Woo 1987, from memory).
    #[expect(clippy::cast_sign_loss, reason = "rays stay in the room")]
    fn for_each_cell(
        &self,
        origin: [f32; 2],
        dir: [f32; 2],
        length_m: f32,
        mut add: impl FnMut(usize, f32),
    ) {
        let last = self.cells.map(|cells| cells - 1);
        let mut cell = [0, 1]
            .map(|axis| ((origin[axis] / self.cell_m[axis]).max(0.0) as usize).min(last[axis]));
        let mut edge_m: [f32; 2] = std::array::from_fn(|axis| {
            let edge = if dir[axis] > 0.0 { cell[axis] + 1 } else { cell[axis] };
            ((edge as f32 * self.cell_m[axis] - origin[axis]) / dir[axis]).max(0.0)
        });
        let mut t_m = 0.0;
        loop {
            let axis = usize::from(edge_m[1] < edge_m[0]);
            let next_m = edge_m[axis].min(length_m);
            add(cell[0] * self.cells[1] + cell[1], next_m - t_m);
            if edge_m[axis] >= length_m {
                return;
            }
            t_m = next_m;
            edge_m[axis] += self.cell_m[axis] / dir[axis].abs();
            // Beyond the last cell there is only what rounding leaves of the distance to the wall.
            cell[axis] = if dir[axis] > 0.0 {
                (cell[axis] + 1).min(last[axis])
            } else {
                cell[axis].saturating_sub(1)
            };
        }
    }
}
