//! Evaluation of one layout.

use super::LengthRange;
use super::bass::bass_hz;
use super::bounds::PlacementError;
use super::layout::Layout;
use super::objective::Objective;
use super::plan::PlacementPlan;
use crate::scene::{Attachments, Scene, Variant};
use crate::simulate::{Request, simulate};
use crate::wave_field::{FactorizedSolver, WaveFieldSolver};

/// Image order of the evaluated reflections.
const ORDER: usize = 2;
/// Bass needs later reflections than the limits on early ones, seconds.
const WINDOW_S: f64 = 0.025;

/// A layout with its objective.
#[derive(Debug, Clone, PartialEq)]
pub struct EvaluatedLayout {
    /// The layout.
    pub layout: Layout,
    /// Its objective.
    pub objective: Objective,
}

/// Evaluator of the layouts of one plan.
pub(super) struct Evaluator<'a> {
    pub(super) scene: &'a Scene,
    pub(super) attachments: &'a (dyn Attachments + Sync),
    pub(super) plan: &'a PlacementPlan<'a>,
    /// The room with its surfaces and panels, which no layout changes.
    pub(super) room: &'a FactorizedSolver<'a>,
}

/// Wave field of the room, solved for the frequencies of the bass terms.
///
/// # Errors
/// The scene has no such variant, or it is too large for its bass to be solved.
pub(super) fn room(
    scene: &Scene,
    plan: &PlacementPlan<'_>,
) -> Result<WaveFieldSolver, PlacementError> {
    let variant = scene.variant(plan.variant).ok_or(PlacementError::NoSuchVariant)?;
    // What stands in the room may move with the seat, so it has no part in this.
    let bare = Variant { screens: Vec::new(), furniture: Vec::new(), ..variant };
    WaveFieldSolver::new(scene, &bare, &bass_hz()).map_err(PlacementError::Bass)
}

impl Evaluator<'_> {
    /// Objective of a layout.
    ///
    /// # Errors
    /// Reason why the layout is infeasible.
    pub(super) fn evaluate(&self, layout: &Layout) -> Result<Objective, String> {
        let Self { scene, attachments, plan, .. } = *self;
        self.within_bounds(layout)?;
        self.cost(&layout.in_scene(scene, attachments, plan)?, layout)
    }

    /// Objective of the scene as it stands, whose layout is about this one.
    ///
    /// # Errors
    /// Reason why the scene cannot be evaluated.
    pub(super) fn as_it_stands(&self, layout: &Layout) -> Result<Objective, String> {
        self.cost(self.scene, layout)
    }

    fn cost(&self, moved: &Scene, layout: &Layout) -> Result<Objective, String> {
        let Self { plan, room, .. } = *self;
        let variant = moved.variant(plan.variant).ok_or("the scene has no such state")?;
        let request = Request {
            order: ORDER,
            window_s: WINDOW_S,
            ..Request::list(plan.pair.to_vec(), plan.listeners.clone())
        };
        let lists =
            simulate(moved, &variant, &request, &()).map_err(|wrong| wrong.to_string())?.pairs;
        if let Some(hidden) = lists.iter().find(|one| one.direct.occluded) {
            let (speaker, listener) = (&moved[hidden.speaker].name, &moved[hidden.listener].name);
            return Err(format!("something stands between `{speaker}` and `{listener}`"));
        }
        let objective = Objective::of(moved, layout, plan, &lists, room);
        if objective.cost_db.is_finite() {
            Ok(objective)
        } else {
            Err("no sound arrives in some band".to_owned())
        }
    }

    /// Checks the lengths that follow from a closed triangle: speakers in front of the front wall, and
    /// ears behind the speakers.
    fn within_bounds(&self, layout: &Layout) -> Result<(), String> {
        let room = self.scene.room();
        let half_m = 0.5 * layout.base_m;
        let between_walls = LengthRange { low_m: half_m, high_m: room.width_m - half_m };
        if !between_walls.holds(layout.axis_m) {
            return Err("the triangle does not fit: it is wider than the room".to_owned());
        }
        if room.length_m < layout.seat_m {
            return Err("the seat would be behind the back wall".to_owned());
        }
        if layout.speaker_distance_m < 0.0 {
            return Err(
                "the triangle does not fit: its speakers would be in the front wall".to_owned()
            );
        }
        if layout.seat_m <= layout.speaker_distance_m {
            return Err("the ears would be before the speakers".to_owned());
        }
        Ok(())
    }
}
