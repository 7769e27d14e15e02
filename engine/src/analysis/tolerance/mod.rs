//! Placement tolerance: the largest error of a mark that leaves all reported figures unchanged.
//!
//! Every mark is moved along the tape's three directions, both ways, in growing steps; the scene is
//! read and traced again at each, until a figure has changed by more than its threshold. That is a
//! re-run and no derivative: it also sees a panel's edge or a wall coming near.

mod change;
mod perturbation;
mod plan;

pub use change::{Change, Thresholds};
pub use plan::{AxisTolerance, STEPS_M, Tolerance, TolerancePlan};

use crate::analysis::setting_out::MarkTarget;
use crate::scene::{Attachments, Scene};
use glam::DVec3;
use perturbation::MarkPerturbation;
use rayon::prelude::*;

/// Tolerance of each mark of these speakers and listeners; speakers first, in the plan's order.
/// One that the scene does not have is passed over.
///
/// # Errors
/// Reason why the scene cannot be traced as it stands: it has no such variant.
pub fn tolerances(
    scene: &Scene,
    attachments: &(dyn Attachments + Sync),
    plan: &TolerancePlan<'_>,
) -> Result<Vec<Tolerance>, String> {
    let speakers = plan.speakers.iter().filter(|&&id| scene.speaker(id).is_some());
    let listeners = plan.listeners.iter().filter(|&&id| scene.listener(id).is_some());
    let marks: Vec<MarkTarget> = speakers
        .map(|&id| MarkTarget::Speaker(id))
        .chain(listeners.map(|&id| MarkTarget::Listener(id)))
        .collect();
    let perturbation = |&of: &MarkTarget| {
        let perturbation = MarkPerturbation { scene, attachments, plan, of };
        let as_set = perturbation.figures(DVec3::ZERO)?;
        Ok(Tolerance { of, axes: DVec3::AXES.map(|way| perturbation.axis_tolerance(way, &as_set)) })
    };
    marks.par_iter().map(perturbation).collect()
}
