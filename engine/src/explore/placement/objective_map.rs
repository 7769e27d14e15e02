//! Objective of a layout moved as a whole over the floor.

use super::bounds::PlacementError;
use super::evaluate::{Evaluator, room};
use super::layout::Layout;
use super::objective::Objective;
use super::plan::PlacementPlan;
use super::{Bounds, LengthRange};
use crate::scene::{Attachments, Scene};
use rayon::prelude::*;

/// Objective of a layout over the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct ObjectiveMap {
    /// Seat positions of the rows, metres from the front wall.
    pub seats_m: Vec<f64>,
    /// Lines of symmetry of the columns, metres from the left wall.
    pub axes_m: Vec<f64>,
    /// For each seat, for each line; `None` where the layout cannot be.
    pub cost: Vec<Vec<Option<Objective>>>,
}

/// Cells of a map at most.
const CELLS: f64 = 700.0;
/// The finest a map is, metres.
const FINEST_M: f64 = 0.05;

/// Moves a layout as a whole, seat and speakers, over the floor.
///
/// # Errors
/// The scene has no such variant, or it is too large for its bass to be solved.
pub fn objective_map(
    scene: &Scene,
    attachments: &(dyn Attachments + Sync),
    plan: &PlacementPlan<'_>,
    layout: &Layout,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<ObjectiveMap, PlacementError> {
    let [seats_m, axes_m] = grid_m(scene);
    let anywhere = anywhere(plan, scene);
    let waves = room(scene, plan)?;
    let room = &waves.factorize().map_err(PlacementError::Bass)?;
    let evaluator = Evaluator { scene, attachments, plan: &anywhere, room };
    let row = |&seat_m: &f64| {
        let cell = |&axis_m: &f64| {
            let speaker_distance_m = layout.speaker_distance_m + seat_m - layout.seat_m;
            let moved = Layout { seat_m, speaker_distance_m, axis_m, ..*layout };
            progress(1);
            evaluator.evaluate(&moved).ok()
        };
        axes_m.iter().map(cell).collect()
    };
    let cost = seats_m.par_iter().map(row).collect();
    Ok(ObjectiveMap { seats_m, axes_m, cost })
}

/// Number of layouts that [`objective_map`] evaluates in the room of a scene.
pub fn objective_map_cells(scene: &Scene) -> usize {
    grid_m(scene).iter().map(Vec::len).product()
}

/// Middles of the cells along the room and across it, metres.
fn grid_m(scene: &Scene) -> [Vec<f64>; 2] {
    let room = scene.room();
    let step_m = (room.length_m * room.width_m / CELLS).sqrt().max(FINEST_M);
    [room.length_m, room.width_m].map(|length_m| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count")]
        let count = (length_m / step_m).round().max(1.0) as u32;
        (0..count).map(|i| (f64::from(i) + 0.5) * length_m / f64::from(count)).collect()
    })
}

fn anywhere<'a>(plan: &PlacementPlan<'a>, scene: &Scene) -> PlacementPlan<'a> {
    let mut bounds: Bounds = plan.bounds;
    let room = scene.room();
    bounds.set(super::Parameter::Seat, LengthRange { low_m: 0.0, high_m: room.length_m });
    bounds.set(super::Parameter::Axis, LengthRange { low_m: 0.0, high_m: room.width_m });
    PlacementPlan { bounds, ..plan.clone() }
}
